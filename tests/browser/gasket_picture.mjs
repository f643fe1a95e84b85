// A picture of an invented gasket as a camera would take it: holes at known places, drawn pixel by pixel, packed as PNG.
import * as zlib from 'node:zlib';

/** The gasket of the invented Tarn 1.1, in millimetres seen from above: x along the crank, y from the left side. */
export const TARN = {
  width: 292,
  depth: 160,
  bores: [[62, 80], [146, 80], [230, 80]],
  bore: 77,
  bolts: [[20, 22], [104, 22], [188, 22], [272, 22], [20, 138], [104, 138], [188, 138], [272, 138]],
  bolt: 11,
  coolant: [[62, 24, 10], [146, 24, 10], [230, 24, 10], [62, 136, 8], [146, 136, 8], [230, 136, 8]],
  oil: [[125, 10, 6]],
};

/** A pinhole camera over the gasket's middle; tilt in radians about the picture's horizontal. */
export function camera({ width = 1400, height = 840, focal = 1500, away = 360, tilt = 0 } = {}) {
  const [cx, cy] = [TARN.width / 2, TARN.depth / 2];
  const [cos, sin] = [Math.cos(tilt), Math.sin(tilt)];
  return {
    width,
    height,
    see([x, y]) {
      const depth = away + sin * (y - cy);
      return [width / 2 + (focal * (x - cx)) / depth, height / 2 - (focal * cos * (y - cy)) / depth];
    },
    behind([px, py]) {
      const v = (height / 2 - py) / focal;
      const y = (v * away) / (cos - v * sin);
      return [cx + ((px - width / 2) / focal) * (away + sin * y), cy + y];
    },
  };
}

function isGasket([x, y]) {
  if (x < 0 || y < 0 || x > TARN.width || y > TARN.depth) return false;
  const away = ([hx, hy]) => Math.hypot(x - hx, y - hy);
  return !(
    TARN.bores.some((hole) => away(hole) < TARN.bore / 2) ||
    TARN.bolts.some((hole) => away(hole) < TARN.bolt / 2) ||
    [...TARN.coolant, ...TARN.oil].some((hole) => away(hole) < hole[2] / 2)
  );
}

function crc32(bytes) {
  if (zlib.crc32) return zlib.crc32(bytes);
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (0xedb88320 & -(crc & 1));
  }
  return ~crc >>> 0;
}

function chunk(type, body) {
  const head = Buffer.concat([Buffer.from(type, 'latin1'), body]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(body.length);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(head) >>> 0);
  return Buffer.concat([length, head, check]);
}

/** Grey PNG of the gasket under that camera: a light gasket with darker rings round its bores on a dark bench, lit from one side. */
export function gasketPng(lens) {
  const { width, height } = lens;
  const rows = Buffer.alloc((width + 1) * height);
  const LOOKS = 3;
  for (let py = 0; py < height; py += 1) {
    for (let px = 0; px < width; px += 1) {
      let sum = 0;
      for (let look = 0; look < LOOKS * LOOKS; look += 1) {
        const at = lens.behind([px + ((look % LOOKS) + 0.5) / LOOKS - 0.5, py + (Math.floor(look / LOOKS) + 0.5) / LOOKS - 0.5]);
        const isRing = TARN.bores.some(([x, y]) => Math.abs(Math.hypot(at[0] - x, at[1] - y) - TARN.bore / 2 - 2.2) < 0.8);
        sum += isGasket(at) ? (isRing ? 150 : 190) : 55;
      }
      const light = 1 - (0.2 * px) / width;
      rows[py * (width + 1) + 1 + px] = Math.round((sum / (LOOKS * LOOKS)) * light);
    }
  }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 0, 0, 0, 0], 8);
  return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), chunk('IHDR', head), chunk('IDAT', zlib.deflateSync(rows, { level: 9 })), chunk('IEND', Buffer.alloc(0))]);
}

// Invented answers of the operations that the page asks while a figure is dragged. Nothing here is a calculation.
const number = (text, otherwise) => (Number.isFinite(parseFloat(String(text ?? '').replace(',', '.'))) ? parseFloat(String(text).replace(',', '.')) : otherwise);

function drawing(title) {
  const bores = [65, 165, 265, 365].map((x, index) => `<circle class="jp-bore" cx="${x}" cy="85" r="40" fill="#fff" stroke="#1c1f24"/><text x="${x}" y="90" text-anchor="middle" font-size="16">${index + 1}</text>`).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 430 170" role="img" aria-labelledby="t"><title id="t">${title}</title><rect class="jp-deck" width="430" height="170" fill="#fff" stroke="#1c1f24"/>${bores}</svg>`;
}

function picture(name, title) {
  return { name, title, svg: drawing(title), table: `<table><caption>${title}</caption><thead><tr><th scope="col">bore</th><th scope="col" class="n">invented</th></tr></thead><tbody><tr><th scope="row">1</th><td class="n">12</td></tr></tbody></table>` };
}

function flatness({ input }) {
  const rows = String(input).trim().split('\n').slice(1).filter((line) => !line.startsWith('#'));
  const heights = rows.map((row) => number(row.split(row.includes(';') ? ';' : /[,\t]/).at(-1), NaN)).filter(Number.isFinite);
  const span = heights.length === 0 ? 0 : Math.max(...heights) - Math.min(...heights);
  return { part: '', head: '1', points: heights.length, not_measured: rows.length - heights.length, least_squares: { FLTt_mm: span }, minimum_zone: { FLTt_mm: span, contact: '2-2' }, limit_mm: 0.05, uncertainty_mm: 0.01, decision: span > 0.06 ? 'fail' : span > 0.04 ? 'undecided' : 'pass', decision_text: 'invented', notes: [], pictures: [picture('face', 'Heights of the face')] };
}

function afterSkim({ options }) {
  const cut = number(options.head, 0) + number(options.deck, 0);
  const after = 9.85 + 2 * cut;
  const isOut = after > 10.2;
  return {
    sentence: isOut ? 'out of limit: compression ratio' : 'everything that has a limit stays inside it',
    out_of_limit: isOut,
    compression_ratio: { before: 9.85, after },
    lines: [
      { line: 'compression_ratio', name: 'compression ratio', unit: '', before: 9.85, after, band: 0.02, least: null, most: 10.2, limit_source: 'limits.compression_ratio_most: invented', verdict: isOut ? 'out_of_limit' : 'ok', gasket_to_restore_mm: 1.2 + cut, remedies: [], missing: [], assumed: [] },
      { line: 'squish', name: 'squish height', unit: 'mm', before: 1.4, after: 1.4 - number(options.deck, 0), band: 0.01, least: 0.9, most: null, limit_source: 'limits.squish_least: invented', verdict: 'ok', remedies: [], missing: [], assumed: [] },
    ],
    warnings: isOut ? ['the compression ratio rises above its limit'] : [],
  };
}

function clamp({ options }) {
  const share = number(options.preload, 45) / 45;
  const ring = (bore) => ({ bore, line_load_min_N_per_mm: (bore === 2 ? 53 : 95) * share, line_load_mean_N_per_mm: 140 * share, line_load_max_N_per_mm: 190 * share, angle_of_min_deg: 70 * bore, force_N: 35000 * share, margin: ((bore === 2 ? 53 : 95) * share) / 60 });
  return { status: 'converged', steps: 7, reaction_N: 450000 * share, applied_N: 450000 * share, contact_area_mm2: 30000, open_area_fraction: 0.02, deflection_max_mm: 0.051, fire_rings: [1, 2, 3, 4].map(ring), passages: [1, 2].map((one) => ({ number: one, pressure_min_MPa: one })), bolts: [1, 2].map((one) => ({ number: one, force_N: 45000 * share, movement_mm: 0.02 })), pictures: [picture('pressure', 'Gasket pressure'), picture('movement', 'Movement of the head')] };
}

function tighten({ options }) {
  const passes = Array.from({ length: number(options.passes, 3) }, (_, pass) => ({ bolts: [1, 2].map((one) => ({ number: one, force_N: 40000 + 1000 * pass + 500 * one })), min_N: 40500, max_N: 41000, mean_N: 40750, std_N: 250 }));
  return { passes, recommended: { order: [2, 1], passes: 2 }, pictures: [picture('order', 'Order on the plan')] };
}

const sealChance = ({ options }) => ({ chance: 0.83, low: 0.8, high: 0.86, weakest: [{ bore: 2, share: 0.7 }], samples: number(options.samples, 1000), seconds: 4.2 });

export const operations = { flatness, 'after-skim': afterSkim, clamp, tighten, 'seal-chance': sealChance };

// Questions, cautions and a drawing for the stand-in server. Every figure is invented: nothing here is a diagnosis.

const cautions = {
  hot_coolant: { id: 'hot_coolant', level: 'WARNING', hazard: 'Hot coolant under pressure', consequence: 'can scald badly when the cap is opened', avoid: 'Let it cool until the hose is soft, open with a cloth, follow the maker’s procedure.' },
  cranking: { id: 'cranking', level: 'WARNING', hazard: 'Engine cranked with plugs out', consequence: 'can catch hands and clothes, and fuel mist can catch fire', avoid: 'Ignition and injection off, hands and clothes clear of belts.' },
  air_turns_crank: { id: 'air_turns_crank', level: 'WARNING', hazard: 'Compressed air turning the crank', consequence: 'can throw a wrench left on the pulley', avoid: 'Hold the engine at top dead centre as the maker says, no tool left on the crank.' },
  head_lift: { id: 'head_lift', level: 'WARNING', hazard: 'A head is heavy and slippery', consequence: 'Crushed hands and feet', avoid: 'Two people or a hoist.' },
  gauge_range: { id: 'gauge_range', level: 'NOTICE', hazard: 'Gauge driven past its range', consequence: 'loses its zero', avoid: 'Choose a gauge that reads half as much again.' },
};

function question(name, kind, text, asked, more = {}) {
  return { name, text, question: asked, kind, scope: 'engine', places: [], states: ['absent', 'seen'], minutes: 2, needs: '', cannot_see: '', cautions: [], ...more };
}

export function questionsFor(cylinders) {
  const each = Array.from({ length: cylinders }, (_, index) => String(index + 1));
  const bridges = each.slice(1).map((place) => `${Number(place) - 1}-${place}`);
  const perCylinder = { scope: 'cylinder', places: each };
  return [
    question('runs_hot', 'symptom', 'runs hot', 'Does it run hot?'),
    question('coolant_lost', 'symptom', 'coolant is lost', 'Does it lose coolant?'),
    question('white_smoke', 'symptom', 'white smoke from a warm engine', 'Is there white smoke once it is warm?'),
    question('milky_oil', 'symptom', 'milky oil on the dipstick', 'Is the oil on the dipstick milky?', { cannot_see: 'a little water that the engine boils off' }),
    question('rough_start', 'symptom', 'starts on fewer cylinders', 'Does it start on fewer cylinders and then clear?'),
    question('overheat_reported', 'history', 'overheated by the owner’s account', 'Does the owner tell of an overheating?', { minutes: 1 }),
    question('bubbles', 'symptom', 'bubbles in the filler neck', 'Do bubbles rise in the filler neck with the engine running?', { minutes: 5, cautions: [cautions.hot_coolant] }),
    question('colour_test', 'test', 'combustion gas in the coolant by the colour test', 'Does the test liquid change colour over the filler neck?', { states: ['none', 'partial', 'full'], minutes: 15, needs: 'colour test kit', cannot_see: 'a leak that opens only under load', cautions: [cautions.hot_coolant] }),
    question('plug_washed', 'test', 'plug washed clean', 'Is the plug washed clean?', { ...perCylinder, minutes: 20, needs: 'plugs out' }),
    question('camera', 'test', 'burnt track seen with a camera', 'Does the camera show a burnt track or a wet, clean crown?', { ...perCylinder, minutes: 20, needs: 'plugs out, camera', cannot_see: 'the joint itself' }),
    question('air_at_neighbour', 'test', 'air heard at the neighbour’s plug hole', 'Is air heard at the neighbour’s plug hole?', { scope: 'bridge', places: bridges, minutes: 10, needs: 'air, plugs out', cautions: [cautions.air_turns_crank] }),
    question('cap_test', 'test', 'the cap does not hold', 'Does the cap fail to hold its pressure?', { minutes: 5, needs: 'cap tester' }),
    question('head_face', 'test', 'the face of the head out of flat', 'Head face out of flat?', { scope: 'head', places: ['1'], minutes: 20, needs: 'head off', cannot_see: 'the shape it has when hot or bolted down', cautions: [cautions.head_lift] }),
    question('fire_ring_track', 'test', 'soot or a broken track at the fire ring', 'Soot or a broken track at the fire ring?', { ...perCylinder, needs: 'head off' }),
    question('compression', 'reading', 'compression', 'What does each cylinder read, cranking?', { ...perCylinder, states: ['none', 'small', 'large'], minutes: 30, needs: 'plugs out', cautions: [cautions.cranking, cautions.gauge_range] }),
    question('leak_down', 'reading', 'leak-down', 'What does each cylinder hold?', { ...perCylinder, states: ['none', 'small', 'large'], minutes: 45, needs: 'plugs out, air', cautions: [cautions.air_turns_crank] }),
  ];
}

export const cautionOf = cautions;

export function freshDocument({ cylinders, layout, fuel, title }) {
  return {
    format: 1,
    number: '',
    title,
    engine: { format: 1, name: `${capital(layout)} ${cylinders}, ${fuel}`, engine: { cylinders, layout, fuel, heads: layout === 'vee' ? 'per_bank' : 'one', cooling: 'liquid' }, head: { flatness_limit: '0.05 mm' } },
  };
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** Deck with bores; the likelier the breach, the heavier its line. */
export function planSvg(cylinders, breaches, withFace) {
  const width = 30 + cylinders * 100;
  const bores = Array.from({ length: cylinders }, (_, index) => {
    const x = 65 + index * 100;
    return `<circle class="jp-ring" fill="none" stroke="#1c1f24" stroke-width="0.5" stroke-dasharray="1.4" cx="${x}" cy="85" r="43.5"/><circle class="jp-bore" fill="#ffffff" stroke="#1c1f24" stroke-width="0.9" cx="${x}" cy="85" r="40"/><text class="jp-number" font-size="17" text-anchor="middle" x="${x}" y="91">${index + 1}</text>`;
  }).join('');
  const bolts = Array.from({ length: cylinders + 1 }, (_, index) => [15, 155].map((y) => `<circle class="jp-bolt" fill="none" stroke="#5a5f66" stroke-width="0.8" cx="${15 + index * 100}" cy="${y}" r="7.5"/>`).join('')).join('');
  const marks = breaches
    .map(({ where, value }) => {
      const [low] = where.split('-').map(Number);
      const x = 15 + low * 100 + (where.includes('-') ? 0 : -50);
      const weight = Math.max(0.6, 4 * value).toFixed(1);
      return `<path class="jp-breach" fill="none" stroke="#a63a16" stroke-width="${weight}" d="M${x - 12} 85l4-5 4 9 4-9 4 9 4-9 4 5"/><path class="jp-lead" fill="none" stroke="#1c1f24" stroke-width="0.5" d="M${x} 78V-6"/><text class="jp-tag" font-size="13" text-anchor="middle" x="${x}" y="-11">${where} ${value.toFixed(2)}</text>`;
    })
    .join('');
  const face = withFace ? `<rect class="jp-band" fill="#cfe0ec" x="60" y="20" width="${width - 120}" height="130"/><text class="jp-tag" font-size="13" text-anchor="middle" x="${width / 2}" y="40">0.02 mm</text>` : '';
  return `<svg xmlns="http://www.w3.org/2000/svg" class="joint-plan" viewBox="-14 -26 ${width + 28} 236" role="img"><title>Joint plan seen from above, front of engine at the left</title><rect class="jp-deck" fill="#ffffff" stroke="#1c1f24" stroke-width="1.2" width="${width}" height="170" rx="4"/>${face}${bores}${bolts}${marks}<path class="jp-dim" fill="none" stroke="#1c1f24" stroke-width="0.5" d="M0 184H${width}M0 179v10M${width} 179v10"/><text class="jp-dimtext" font-size="12" text-anchor="middle" x="${width / 2}" y="198">${width} mm, front at left</text></svg>`;
}

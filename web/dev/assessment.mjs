// An invented assessment that moves when the document does, so that the page can be worked on without the program.
import { cautionOf, planSvg } from './fixtures.mjs';

const number = (text) => (typeof text === 'string' && /^[\d.,]+/.test(text) ? Number(text.match(/^[\d.,]+/)[0].replace(',', '.')) : undefined);

/** Problems of texts that are no quantities, with their pointers. */
export function problemsOf(document) {
  return (document.reading ?? []).flatMap((reading, index) =>
    (reading.values ?? []).flatMap((value, cylinder) =>
      value === '' || /^\d+([.,]\d+)? ?(bar|psi|kPa|%)$/.test(value) || value === 'inaccessible'
        ? []
        : [{ place: { source: 'job', line: 0, column: 0, pointer: `/reading/${index}/values/${cylinder}` }, severity: 'error', what: `"${value}" is not a gauge pressure`, allowed: 'a number with bar, psi or kPa', mend: 'write it like "12.1 bar"' }],
    ),
  );
}

function lowPair(document, test) {
  const values = (document.reading ?? []).find((reading) => reading.test === test)?.values?.map(number) ?? [];
  const taken = values.filter((value) => value !== undefined);
  if (taken.length < 2) return undefined;
  const highest = Math.max(...taken);
  const low = values.map((value, index) => ({ value, cylinder: index + 1 })).filter(({ value }) => value !== undefined && value < 0.8 * highest);
  return low.length === 0 ? undefined : low.map((entry) => entry.cylinder);
}

const chance = (value) => ({ probability: value, low: Math.max(0, value - 0.09), high: Math.min(1, value + 0.06) });

export function assessmentOf(document, version) {
  const cylinders = document.engine?.engine?.cylinders ?? 4;
  const signs = document.signs ?? {};
  const low = lowPair(document, 'leak_down') ?? lowPair(document, 'compression');
  const seen = Object.values(signs).filter((state) => state === 'seen').length;
  const bridge = low && low.length > 1 ? `${low[0]}-${low[1]}` : '2-3';
  const neighbour = low && low.length > 1 ? 0.87 : 0.08 + 0.01 * seen;
  const coolant = Math.min(0.9, 0.06 + 0.12 * seen);
  const failed = Math.min(0.98, 1 - (1 - neighbour) * (1 - coolant));
  const words = failed > 0.8 ? 'very probably failed' : failed > 0.4 ? 'may have failed' : 'probably not failed';
  const between = bridge.replace('-', ' and ');
  const paths = [
    { path: 'gas_to_neighbour', where: bridge, text: `gas between cylinders ${between}`, before: 0.04, ...chance(neighbour) },
    { path: 'gas_to_coolant', where: '3', text: 'gas from cylinder 3 into the coolant', before: 0.05, ...chance(coolant) },
    { path: 'coolant_with_oil', where: '', text: 'coolant mixed with oil', before: 0.02, ...chance(signs.milky_oil === 'seen' ? 0.3 : 0.02) },
  ].sort((one, other) => other.probability - one.probability);
  const spoken = Object.entries(signs)
    .filter(([, state]) => typeof state === 'string' && state !== 'void')
    .map(([sign, state]) => ({ sign, where: '', text: `${sign.replace(/_/g, ' ')}: ${state}`, about: paths[0].text, weight: state === 'seen' ? 0.7 : -0.4, words: state === 'seen' ? 'for' : 'against' }));
  const cylinderRows = (test) => (document.reading ?? []).find((reading) => reading.test === test)?.values?.map((text, index) => ({ cylinder: index + 1, status: number(text) === undefined ? 'not taken' : 'measured', leak_area_mm2: 0.7, low_mm2: 0.5, high_mm2: 0.9 }));
  const reading = (test) => (cylinderRows(test) ? { cylinders: cylinderRows(test), notes: low ? [`Cylinders ${low.join(' and ')} are low.`] : [], pairs: [], smallest_leak_mm2: 0.02 } : undefined);
  return {
    schema_version: 1,
    program: 'headjoint',
    version,
    job: { number: document.number, title: document.title },
    engine: { name: document.engine?.name, cylinders, layout: document.engine?.engine?.layout },
    finding: {
      status: 'done',
      sentence: `The joint has ${words}${failed > 0.8 && low ? ` between cylinders ${between}` : ''}.`,
      log_evidence: -7.1,
      joint_failed: { value: failed, low: Math.max(0, failed - 0.1), high: Math.min(1, failed + 0.05) },
      paths,
      causes: [{ cause: 'overheated', where: '', text: 'it was overheated', before: 0.1, ...chance(0.41) }],
      rivals: [{ cause: 'pressure_cap', where: '', text: 'the pressure cap does not hold', before: 0.08, ...chance(0.12) }, { cause: 'thermostat', where: '', text: 'the thermostat sticks', before: 0.07, ...chance(0.06) }],
      for_and_against: spoken,
      conflicts: signs.milky_oil === 'seen' && signs.coolant_lost === 'absent' ? [{ sign: 'milky_oil', where: '', text: 'milky oil, yet no coolant is lost', bits: 2.4 }] : [],
      not_counted: signs.cap_test === 'void' ? ['cap test: void'] : [],
    },
    next_checks: [
      { check: 'leak_down', where: '', text: 'take a leak-down of every cylinder', question: 'What does each cylinder hold?', net_value: 61, value: 106, cost: 45, minutes: 45, why: 'tells a leak at the joint from worn rings and shows where it goes', cannot_see: 'a leak that opens only hot', cautions: [cautionOf.air_turns_crank] },
      { check: 'colour_test', where: '', text: 'hold the colour test over the filler neck', net_value: 22, value: 37, cost: 15, minutes: 15, why: 'cheap, and clears the coolant path when it stays blue', cautions: [cautionOf.hot_coolant] },
      { check: 'milky_oil', where: '', text: 'look at the oil on the dipstick', net_value: 3, value: 5, cost: 2, minutes: 2, why: 'two minutes', cautions: [] },
    ],
    options: [
      { option: 'open_joint', text: 'take the head off and renew the joint', chance: failed, put_right_minutes: 720, left_minutes: 2400 * failed, advised: 720 < 2400 * failed },
      { option: 'pressure_cap', text: 'renew the pressure cap', chance: 0.12, put_right_minutes: 10, left_minutes: 36, advised: true },
    ],
    ...(reading('leak_down') ? { leak_down: reading('leak_down') } : {}),
    ...(reading('compression') ? { compression: reading('compression') } : {}),
    faces: (document.face ?? []).filter((face) => face.table).map((face) => ({ part: face.part, head: String(face.head ?? 1), source: 'job', points: face.table.trim().split('\n').filter((line) => !line.startsWith('#')).length - 1, not_measured: 0, least_squares: { FLTt_mm: 0.0612 }, minimum_zone: { FLTt_mm: 0.0571, contact: '2-2' }, limit_mm: 0.05, limit_source: 'engine file', uncertainty_mm: 0.006, decision: 'fail', decision_text: '0.0571 mm is over the limit of 0.05 mm, by more than the measuring uncertainty', notes: [] })),
    papers: [{ name: 'record', text: 'the full record' }],
    warnings: [],
    basis: 'Strengths of signs are common practice, not measured.',
    plan: { breach: planSvg(cylinders, paths.slice(0, 2).map(({ where, probability }) => ({ where, value: probability })), false), face: (document.face ?? []).some((face) => face.table) ? planSvg(cylinders, [], true) : null },
  };
}

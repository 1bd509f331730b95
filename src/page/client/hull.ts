/** The boat's lines, ours: a small powerboat in profile and from above, in metres from her bow roller. Pure. */

/** Aft of the roller, and up from the water. */
export interface ProfilePoint {
  aftM: number;
  upM: number;
}

const USUAL_LENGTH_M = 9;
const USUAL_BEAM_M = 3;

export function lengthOrUsualM(lengthM: number | null): number {
  return lengthM ?? USUAL_LENGTH_M;
}

/** Stem, keel line at the water, transom, wheelhouse, sheer. */
export function profileOf(lengthM: number | null, rollerM: number): ProfilePoint[] {
  const l = lengthOrUsualM(lengthM);
  const deck = rollerM;
  const house = deck + 0.145 * l;
  return [
    { aftM: 0, upM: deck },
    { aftM: 0.04 * l, upM: deck * 0.45 },
    { aftM: 0.09 * l, upM: 0 },
    { aftM: 0.14 * l, upM: -0.03 * l },
    { aftM: l, upM: -0.03 * l },
    { aftM: 1.01 * l, upM: deck * 0.62 },
    { aftM: 0.78 * l, upM: deck * 0.66 },
    { aftM: 0.76 * l, upM: house - 0.01 * l },
    { aftM: 0.46 * l, upM: house },
    { aftM: 0.36 * l, upM: deck * 0.9 },
    { aftM: 0.14 * l, upM: deck * 0.96 },
  ];
}

/** How far the boat rises above the water. */
export function heightM(lengthM: number | null, rollerM: number): number {
  return rollerM + 0.145 * lengthOrUsualM(lengthM);
}

/** From above: aft of the roller, and to starboard. */
export function deckOf(lengthM: number | null, beamM: number | null): { aftM: number; starboardM: number }[] {
  const l = lengthOrUsualM(lengthM);
  const half = (beamM ?? USUAL_BEAM_M) / 2;
  const side = [
    [0, 0],
    [0.07, 0.36],
    [0.17, 0.68],
    [0.3, 0.9],
    [0.46, 1],
    [0.75, 0.97],
    [1, 0.86],
  ] as const;
  return [
    ...side.map(([aft, out]) => ({ aftM: aft * l, starboardM: out * half })),
    ...[...side].reverse().map(([aft, out]) => ({ aftM: aft * l, starboardM: -out * half })),
  ];
}

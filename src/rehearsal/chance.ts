/**
 * Chance with a seed: the same seed gives the same sea, on every machine. A 32-bit counter put through a
 * multiply-and-shift mix ("mulberry32", in the public domain). Good enough for weather, not for secrets.
 */

export interface Chance {
  /** Even over [0, 1). */
  uniform(): number;
  /** Even over [least, most). */
  between(least: number, most: number): number;
  /** Normal, mean 0, standard deviation 1. */
  normal(): number;
  /** A stream of its own, so that a change to the wind leaves the receiver's errors as they were. */
  fork(name: string): Chance;
}

export function chanceOf(seed: number): Chance {
  let counter = seed >>> 0;
  let spare: number | undefined;
  const uniform = (): number => {
    counter = (counter + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(counter ^ (counter >>> 15), counter | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    uniform,
    between: (least, most) => least + (most - least) * uniform(),
    // Marsaglia's polar method: two normals from one point of the unit disc.
    normal: () => {
      if (spare !== undefined) {
        const kept = spare;
        spare = undefined;
        return kept;
      }
      for (;;) {
        const x = 2 * uniform() - 1;
        const y = 2 * uniform() - 1;
        const squared = x * x + y * y;
        if (squared > 0 && squared < 1) {
          const stretch = Math.sqrt((-2 * Math.log(squared)) / squared);
          spare = y * stretch;
          return x * stretch;
        }
      }
    },
    fork: (name) => chanceOf(hash(`${seed >>> 0}/${name}`)),
  };
}

/** FNV-1a, 32 bits. */
function hash(text: string): number {
  let sum = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) sum = Math.imul(sum ^ text.charCodeAt(i), 0x01000193);
  return sum >>> 0;
}

/**
 * One step of a first-order Gauss-Markov (Ornstein-Uhlenbeck) process by its exact update (Gillespie 1996):
 * it keeps standard deviation `sd` and forgets itself over `tauS` whatever the step.
 */
export function wander(value: number, sd: number, tauS: number, stepS: number, chance: Chance): number {
  const kept = Math.exp(-stepS / tauS);
  return value * kept + sd * Math.sqrt(1 - kept * kept) * chance.normal();
}

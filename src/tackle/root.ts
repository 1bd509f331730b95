/** One bracketed root find for the whole of the tackle: it cannot run away and cannot run long. */

export interface Root {
  x: number;
  iterations: number;
}

export interface Bracket {
  lo: number;
  hi: number;
  /** Half width of the bracket at which x is good enough. */
  toleranceX: number;
  /** |f| at which x is good enough, whatever the bracket. */
  toleranceF: number;
}

/**
 * Root of a function that does not fall between `lo` and `hi`, f(lo) ≤ 0 ≤ f(hi). Where rounding (or the
 * caller) breaks that, the nearer end is the answer. Method: ITP (Oliveira & Takahashi, ACM TOMS 47, 2020):
 * regula falsi pulled towards the middle, never more than one step longer than plain halving, so at most
 * ⌈log₂((hi − lo) / 2·toleranceX)⌉ + 1 iterations, and one more where rounding has eaten into the last.
 */
export function findRoot(f: (x: number) => number, bracket: Bracket): Root {
  const { toleranceX, toleranceF } = bracket;
  let a = bracket.lo;
  let b = bracket.hi;
  let fa = f(a);
  let fb = f(b);
  if (fa >= -toleranceF) return { x: a, iterations: 0 };
  if (fb <= toleranceF) return { x: b, iterations: 0 };
  const pull = 0.2 / (b - a);
  let reach = toleranceX * 2 ** (Math.max(0, Math.ceil(Math.log2((b - a) / (2 * toleranceX)))) + 1);
  let iterations = 0;
  while (b - a > 2 * toleranceX) {
    const middle = (a + b) / 2;
    const falsi = (fb * a - fa * b) / (fb - fa);
    const towards = Math.sign(middle - falsi);
    const nudge = pull * (b - a) ** 2;
    const truncated = nudge <= Math.abs(middle - falsi) ? falsi + towards * nudge : middle;
    const slack = Math.max(0, reach - (b - a) / 2);
    const x = Math.abs(truncated - middle) <= slack ? truncated : middle - towards * slack;
    if (x <= a || x >= b) break;
    const fx = f(x);
    iterations++;
    if (Math.abs(fx) <= toleranceF) return { x, iterations };
    if (fx > 0) {
      b = x;
      fb = fx;
    } else {
      a = x;
      fa = fx;
    }
    reach /= 2;
  }
  return { x: (a + b) / 2, iterations };
}

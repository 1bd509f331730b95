/** The rode as it is drawn from the side: true to scale, anchor at 0, 0, the boat to the right. */
import { toRad } from "../units/angle.ts";
import { type Catenary, LEVEL_SEABED, type Seabed } from "./catenary.ts";
import { riseM, spanM } from "./hanging.ts";
import type { Line, Part } from "./rode.ts";

export interface ShapePoint {
  xM: number;
  /** Above the seabed at the anchor. */
  zM: number;
}

export interface CatenaryShape {
  /** From the anchor up to the splice; the first two points are the ends of what lies on the bottom, if any. */
  chain: ShapePoint[];
  /** From the splice up to the roller; empty when no rope is out. */
  rope: ShapePoint[];
}

export interface ShapeWishes {
  /** Points along each hanging part. */
  points: number;
  /** Where the boat lies, when that is nearer than the load explains: the lying part is then drawn heaped. */
  reachM: number | undefined;
}

/** Polylines of chain and rope for a catenary solved with this same line and seabed. */
export function catenaryShape(
  catenary: Catenary,
  out: Line,
  wishes: ShapeWishes,
  seabed: Seabed = LEVEL_SEABED,
): CatenaryShape {
  const { groundedM, groundedRopeM, loadN, liftN, heightM } = catenary;
  const hangingChainM = out.chain.lengthM - (groundedM - groundedRopeM);
  const hangingRopeM = out.rope.lengthM - groundedRopeM;
  const spliceN = liftN + out.chain.weightNPerM * hangingChainM;
  const reachM = Math.min(catenary.reachM, wishes.reachM ?? catenary.reachM);
  const hangingSpanM =
    spanM(out.chain, hangingChainM, loadN, liftN) + spanM(out.rope, hangingRopeM, loadN, spliceN);
  const slope = Math.tan(toRad(seabed.slopeDeg));
  const touch = onBottom(groundedM > 0 ? Math.max(0, reachM - hangingSpanM) : 0, slope);
  // The chain's share of what lies: it ends at the splice when rope lies too
  const chainShare = groundedM > 0 ? (groundedM - groundedRopeM) / groundedM : 0;
  const splice = onBottom(touch.xM * chainShare, slope);
  const chain: ShapePoint[] = out.chain.lengthM > 0 ? [{ xM: 0, zM: 0 }] : [];
  const rope: ShapePoint[] = [];
  if (groundedM > groundedRopeM) chain.push(splice);
  if (groundedRopeM > 0) rope.push(splice, touch);
  chain.push(...hanging(out.chain, hangingChainM, loadN, liftN, touch, wishes.points));
  if (out.rope.lengthM > 0) {
    const from = hangingChainM > 0 ? (chain.at(-1) ?? touch) : touch;
    if (rope.length === 0) rope.push(from);
    rope.push(...hanging(out.rope, hangingRopeM, loadN, spliceN, from, wishes.points));
  }
  return closedAt({ xM: Math.max(reachM, hangingSpanM), zM: heightM }, { chain, rope });
}

function onBottom(xM: number, slope: number): ShapePoint {
  return { xM, zM: xM * slope };
}

function hanging(
  part: Part,
  hangingM: number,
  loadN: number,
  lowerN: number,
  from: ShapePoint,
  points: number,
): ShapePoint[] {
  if (hangingM <= 0) return [];
  return Array.from({ length: points }, (_, i) => {
    const alongM = (hangingM * (i + 1)) / points;
    return {
      xM: from.xM + spanM(part, alongM, loadN, lowerN),
      zM: from.zM + riseM(part, alongM, loadN, lowerN),
    };
  });
}

/** The last point is the roller itself, free of rounding. */
function closedAt(roller: ShapePoint, shape: CatenaryShape): CatenaryShape {
  const top = shape.rope.length > 0 ? shape.rope : shape.chain;
  top[top.length - 1] = roller;
  return shape;
}

/** A boat and her rode drawn by chance, and what her owner would write down of them. */
import type { Chance } from "../chance.ts";
import type { GroundForm } from "../ground.ts";
import type { HullForm } from "../hull.ts";
import type { RodeForm } from "../rode-law.ts";
import type { WaterForm } from "../water.ts";

export interface Papers {
  lengthM: number;
  beamM: number;
  draughtM: number;
  windageM2: number;
  rollerHeightM: number;
  rollerToAntennaM: number;
  transducerM: number;
  chainM: number;
  chainMm: number;
  ropeM: number;
  ropeMm: number;
}

export interface DrawnBoat {
  hull: HullForm;
  rode: RodeForm;
  ground: GroundForm;
  /** Veered by the marks; true over told. */
  rodeM: number;
  rodeTruth: number;
  waterFrom: Pick<WaterForm, "depthM" | "slope" | "deeperDeg">;
  papers: Papers;
}

const CHAIN_8_N = 11.9;
const CHAIN_10_N = 18.9;
/** The boat that lengths are compared with. */
const USUAL_M = 9.2;
/** No drawn night is meant to part an anchor by load alone. */
const NEVER_N = 1e6;

export function drawBoat(chance: Chance): DrawnBoat {
  const lengthM = chance.between(7.5, 13);
  const hull = drawHull(lengthM, chance);
  const { rode, rodeM, depthM, heavy } = drawRode(lengthM, hull.rollerHeightM, chance);
  const share = (lengthM / USUAL_M) ** 2;
  const papers: Papers = {
    lengthM: tenth(lengthM),
    beamM: tenth(0.9 + lengthM / 4),
    draughtM: tenth(hull.draughtM),
    windageM2: tenth(9 * share),
    rollerHeightM: tenth(hull.rollerHeightM),
    rollerToAntennaM: tenth(hull.antennaAbaftM),
    transducerM: hull.transducerM,
    chainM: tenth(rode.chainM),
    chainMm: heavy ? 10 : 8,
    ropeM: tenth(rode.ropeM),
    ropeMm: heavy ? 16 : 14,
  };
  return {
    hull,
    rode,
    rodeM,
    papers,
    ground: { creepM: chance.between(0.5, 3), diggingN: 1000, holdingN: NEVER_N },
    rodeTruth: chance.between(0.95, 1.05),
    waterFrom: { depthM, slope: chance.between(0, 0.05), deeperDeg: chance.between(0, 360) },
  };
}

function drawHull(lengthM: number, chance: Chance): HullForm {
  const scale = lengthM / USUAL_M;
  const aheadM2 = 8 * scale ** 2 * chance.between(0.75, 1.25);
  return {
    massKg: 4200 * scale ** 3 * chance.between(0.7, 1.4),
    lengthM,
    draughtM: chance.between(0.6, 1.6),
    aheadM2,
    abeamM2: aheadM2 * chance.between(1.3, 2),
    rollerHeightM: chance.between(0.8, 1.7),
    antennaAbaftM: chance.between(2, Math.min(9, 0.9 * lengthM)),
    transducerM: 0.4,
    yawDeg: chance.between(18, 55),
    yawPeriodS: chance.between(40, 150),
  };
}

const LEAST_RODE_M = 22;
const MOST_RODE_M = 90;

function drawRode(lengthM: number, rollerM: number, chance: Chance) {
  const depthM = chance.between(3, 11);
  const scope = chance.between(4.5, 7.5);
  const rodeM = Math.min(MOST_RODE_M, Math.max(LEAST_RODE_M, Math.round(scope * (depthM + rollerM))));
  const chainM =
    chance.uniform() < 0.6 ? chance.between(8, Math.min(30, 0.7 * rodeM)) : rodeM * chance.between(0.5, 0.85);
  const heavy = lengthM > 10;
  const rode: RodeForm = {
    chainM,
    ropeM: Math.max(20, rodeM + 5 - chainM),
    chainNPerM: heavy ? CHAIN_10_N : CHAIN_8_N,
    ropeNPerM: 0.11,
    stretchN: chance.between(30e3, 80e3),
  };
  return { rode, rodeM, depthM, heavy };
}

function tenth(value: number): number {
  return Math.round(value * 10) / 10;
}

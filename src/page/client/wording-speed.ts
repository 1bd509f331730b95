/** Speeds as the kept nights hold them, metres a second, in the viewer's units. */
import { MPS_PER_KN } from "../../units/speed.ts";
import { type Speak, speedWords } from "./wording.ts";

/** A speed in the viewer's unit, as a number alone. */
export function speedNumber(mps: number, { speeds }: Pick<Speak, "speeds">): number {
  return speeds === "kn" ? mps / MPS_PER_KN : mps;
}

/** The other way. */
export function mpsOf(value: number, { speeds }: Pick<Speak, "speeds">): number {
  return speeds === "kn" ? value * MPS_PER_KN : value;
}

export function windWords(mps: number, speak: Speak): string {
  return speedWords(mps / MPS_PER_KN, speak);
}

/** Speeds. Metres a second inside; these factors are exact by definition. */

export const MPS_PER_KN = 1852 / 3600;
export const MPS_PER_KMH = 1 / 3.6;
export const MPS_PER_MPH = 1609.344 / 3600;

export function toKn(speedMps: number): number {
  return speedMps / MPS_PER_KN;
}

export function fromKn(speedKn: number): number {
  return speedKn * MPS_PER_KN;
}

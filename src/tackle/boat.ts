/** What the tackle needs to know of the boat. Anything may be unknown: what needs it is then unknown too. */
export interface Boat {
  lengthM: number | undefined;
  beamM: number | undefined;
  draughtM: number | undefined;
  /** Frontal area that meets the wind when she lies head to it, m². */
  windageAreaM2: number | undefined;
  /** Bow roller above the water. */
  rollerHeightM: number | undefined;
  /** Antenna abaft the roller. */
  rollerToAntennaM: number | undefined;
}

export const UNKNOWN_BOAT: Boat = {
  lengthM: undefined,
  beamM: undefined,
  draughtM: undefined,
  windageAreaM2: undefined,
  rollerHeightM: undefined,
  rollerToAntennaM: undefined,
};

/** What the instruments need to be told; the configuration is mapped onto it. */
export interface InstrumentSettings {
  sources: {
    position: readonly string[];
    depth: readonly string[];
    wind: readonly string[];
    heading: readonly string[];
    fallBackMs: number;
  };
  staleMs: { position: number; depth: number; wind: number; heading: number };
  /** Transducer below the waterline, where the sentence does not say; undefined: not known. */
  transducerBelowWaterM: number | undefined;
  /** Drives or propellers down; undefined: not known. */
  draughtM: number | undefined;
  /** "learn": true UTC comes from RMC/ZDA; "given": the stamps are UTC already (replay). */
  utc: "learn" | "given";
}

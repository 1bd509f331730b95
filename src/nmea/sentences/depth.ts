/** Depth, by whatever reference the sounder uses. */
import { decimal, letter } from "../field.ts";
import { row, simple } from "../row.ts";

const depth = decimal(1, { min: 0 });

/** Feet, metres and fathoms; not all three need be there. */
const inThreeUnits = {
  feet: depth,
  feetLetter: letter("f"),
  depthM: depth,
  metreLetter: letter("M"),
  fathoms: depth,
  fathomLetter: letter("F"),
};

export const depthSentences = [
  row(
    "DPT",
    "depth below the transducer, with its offset",
    {
      depthM: depth,
      /** Positive: transducer to waterline; negative: transducer to keel; 0 or absent: not known. */
      offsetM: decimal(1, { min: -99, max: 99 }),
      rangeM: decimal(1, { min: 0 }),
    },
    { least: 2, example: "$SDDPT,6.3,0.5,100.0*54" },
  ),
  simple("DBT", "depth below the transducer", inThreeUnits, {
    least: 6,
    library: { feet: "depthFeet", depthM: "depthMeters", fathoms: "depthFathoms" },
    example: "$SDDBT,32.8,f,10.0,M,5.5,F*0E",
  }),
  row("DBS", "depth below the surface", inThreeUnits, { least: 6, example: "$SDDBS,36.1,f,11.0,M,6.0,F*03" }),
  row("DBK", "depth below the keel", inThreeUnits, { least: 6, example: "$SDDBK,16.4,f,5.0,M,2.7,F*2A" }),
] as const;

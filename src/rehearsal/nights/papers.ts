/** A drawn boat's configuration, as her owner would write it. */
import { SOURCE } from "../sentences.ts";
import type { Papers } from "./boat.ts";

export function papersText(papers: Papers): string {
  const m = (value: number) => `"${value} m"`;
  return `[boat]
length = ${m(papers.lengthM)}
beam = ${m(papers.beamM)}
draught = ${m(papers.draughtM)}
windage_area = "${papers.windageM2} m2"
roller_height = ${m(papers.rollerHeightM)}
roller_to_antenna = ${m(papers.rollerToAntennaM)}

[transducer]
below_water = ${m(papers.transducerM)}

[rode]
chain = ${m(papers.chainM)}
chain_diameter = "${papers.chainMm} mm"
rope = ${m(papers.ropeM)}
rope_diameter = "${papers.ropeMm} mm"
rope_kind = "nylon-three-strand"

[[port]]
name = "${SOURCE}"
kind = "tcp-server"
listen = "127.0.0.1:10110"
checksum = "required"
clock = "tag"
operator = true
acknowledge = true
send = []
`;
}

/** The configuration of the rehearsal's boat: the same boat as in `anchorage.ts`, as her owner would write it. */
import { SOURCE } from "./sentences.ts";

export interface RehearsalPorts {
  /** Where the daemon listens for the rehearsal's sentences; where displays connect; where the page is. */
  sentencePort: number;
  displayPort: number;
  pagePort: number;
}

/** The TOML text of a configuration for `rehearse`, all of it on the loopback address. */
export function rehearsalConfig({ sentencePort, displayPort, pagePort }: RehearsalPorts): string {
  return `# A rehearsal: simulated boat and weather, real ports.
[boat]
name = "Grey Plover"
length = "9.2 m"
beam = "3.1 m"
draught = "0.8 m"
displacement = "4.2 t"
windage_area = "9 m2"
roller_height = "1.1 m"
roller_to_antenna = "6.0 m"
windlass_pull = "600 N"
windlass_speed = "15 m/min"
marks = ["10 m", "20 m", "30 m", "40 m", "50 m", "60 m"]

[transducer]
below_water = "0.4 m"

[rode]
chain = "8 m"
chain_diameter = "8 mm"
rope = "60 m"
rope_diameter = "14 mm"
rope_kind = "nylon-three-strand"

[watch]
stay = "night"

[[port]]
name = "${SOURCE}"
kind = "tcp-server"
listen = "127.0.0.1:${sentencePort}"
checksum = "required"
clock = "tag"
operator = true
acknowledge = true
send = []

[[port]]
name = "displays"
kind = "tcp-server"
listen = "127.0.0.1:${displayPort}"
send = ["alerts", "anchor", "rode"]

[page]
listen = "127.0.0.1:${pagePort}"
`;
}

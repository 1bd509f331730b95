/**
 * The configuration: one schema gives the type, the checks, the JSON Schema and the commented example. Quantities
 * are strings with units; what is read is SI.
 */
import { z } from "zod";
import type { TideTurn } from "../tackle/tide.ts";
import { contradictions } from "./contradictions.ts";
import { hook } from "./hook-schema.ts";
import { port } from "./port-schema.ts";
import { address, height, instant, length, quantity, said, speed } from "./value.ts";
import { shown } from "./wording.ts";

const boat = z
  .strictObject({
    name: z.string().min(1).default("Boat").meta(said("shown on the page", "Grey Plover")),
    length: length("over all; needed for loads", "9.2 m").optional(),
    beam: length("greatest beam; needed for loads", "3.1 m").optional(),
    draught: length("drives or propellers down; needed for the depth under the keel", "0.8 m").optional(),
    displacement: quantity("mass", "loaded, crew aboard", "4.2 t").optional(),
    windage_area: quantity(
      "area",
      "frontal area to the wind; unset: from length and beam",
      "9 m2",
    ).optional(),
    roller_height: length("bow roller above the water; needed for scope", "1.1 m").optional(),
    roller_to_antenna: length("antenna abaft the roller; needed for the anchor's place", "6.0 m").optional(),
    windlass_pull: quantity(
      "force",
      "continuous working load from its plate, not its greatest pull",
      "600 N",
    ).optional(),
    windlass_speed: speed("how fast it hauls", "15 m/min").optional(),
    marks: z
      .array(length("a mark", "10 m"))
      .optional()
      .meta(said("marks on the rode, for counting down", ["10 m", "20 m"])),
  })
  .meta({ description: "the boat" });

const rode = z
  .strictObject(
    {
      chain: length("chain at the anchor; 0 m for none", "8 m"),
      chain_diameter: length("of the bar its links are made of", "8 mm").optional(),
      rope: length("rope above the chain; 0 m for none", "60 m"),
      rope_diameter: length("of the rope", "14 mm").optional(),
      rope_kind: z
        .enum(["nylon-three-strand", "nylon-braid", "polyester-three-strand", "polyester-braid"])
        .default("nylon-three-strand")
        .meta(said("what it is made of", "nylon-three-strand")),
    },
    {
      error: ({ input }) =>
        input === undefined ? "is missing; write a table [rode] with chain and rope in it" : undefined,
    },
  )
  .meta({ description: "the rode aboard; needed" });

const scope = z
  .strictObject({
    steps: z
      .array(
        z.strictObject({
          wind: speed("from this wind on", "20 kn"),
          ratio: z.number().min(1).max(30).meta(said("rode out ÷ height", 5)),
        }),
      )
      .min(1)
      .prefault([
        { wind: "0 kn", ratio: 5 },
        { wind: "20 kn", ratio: 7 },
        { wind: "30 kn", ratio: 8 },
      ])
      .meta({
        description: "by wind: rode out ÷ height of the roller above the seabed (common practice)",
      }),
    least: z.number().min(1).max(30).default(3).meta(said("below this it is an alarm", 3)),
    surge: z
      .number()
      .min(1)
      .max(5)
      .default(1)
      .meta(said("factor on the wind's load for waves, which are left out of it", 1)),
    pull_limit: quantity("angle", "greatest pull at the anchor above the seabed", "8 deg").prefault("8 deg"),
  })
  .prefault({})
  .meta({ description: "how much rode is wanted" });

const watch = z
  .strictObject({
    stay: z
      .enum(["night", "attended"])
      .default("night")
      .meta(said('"attended" (fishing, lunch): least scope 2, scope alerts are cautions', "night")),
    margin: length("added to the circle; or 5 % of the rode, the larger", "15 m").prefault("15 m"),
    leave_after: quantity(
      "duration",
      "outside the circle for this long; 10 s when far outside",
      "30 s",
    ).prefault("30 s"),
    wind_limit: speed("mean wind: a call to get up and look", "20 kn").prefault("20 kn"),
    gust_limit: speed("the same for gusts", "28 kn").prefault("28 kn"),
    shift_limit: quantity("angle", "mean wind turned by more than this", "60 deg").prefault("60 deg"),
    least_under_keel: length("depth under the keel", "1 m").prefault("1 m"),
    supply_limit: quantity(
      "voltage",
      "below this the supply is low, where XDR tells it (12 V lead-acid, common practice)",
      "11.8 V",
    ).prefault("11.8 V"),
    not_brought_up_after: quantity(
      "duration",
      "after the last veering, with no sign of holding",
      "10 min",
    ).prefault("10 min"),
    auto_brought_up: z.boolean().default(true).meta(said("start the watch without being told", true)),
  })
  .prefault({})
  .meta({ description: "what is watched for" });

const order = (quantityName: string, ...example: string[]) =>
  z
    .array(z.string())
    .default([])
    .meta(said(`order of trust for ${quantityName}`, example));

const sources = z
  .strictObject({
    position: order("position", "bus/GP", "bus"),
    depth: order("depth", "bus/SD"),
    wind: order("wind", "bus/WI"),
    heading: order("heading", "bus/HC"),
    fall_back_after: quantity(
      "duration",
      "a better source must be alive this long before it is taken again",
      "10 s",
    ).prefault("10 s"),
  })
  .prefault({})
  .meta({
    description:
      'which source is believed: port names or "port/talker", best first; what is not named comes last',
  });

const staleAfter = (what: string, seconds: string) =>
  quantity("duration", `a ${what} older than this is missing`, seconds, 1).prefault(seconds);

export const configSchema = z
  .strictObject({
    boat: boat.prefault({}),
    transducer: z
      .strictObject({
        below_water: length(
          "below the waterline; needed where the sounder does not say (DBT, DPT without offset)",
          "0.4 m",
        ).optional(),
      })
      .prefault({})
      .meta({ description: "the sounder" }),
    rode,
    scope,
    watch,
    port: z
      .array(port, { error: ({ input }) => `${shown(input)} found; a block [[port]] for each wanted` })
      .default([])
      .meta({
        description: "connections to instruments and displays, a block for each; with none, nothing is heard",
      }),
    hook: z
      .array(hook, { error: ({ input }) => `${shown(input)} found; a block [[hook]] for each wanted` })
      .default([])
      .meta({ description: "programs run when an alert begins, changes or ends, a block for each" }),
    sources,
    stale: z
      .strictObject({
        position: staleAfter("fix", "5 s"),
        depth: staleAfter("depth", "10 s"),
        wind: staleAfter("wind", "10 s"),
        heading: staleAfter("heading", "5 s"),
      })
      .prefault({})
      .meta({ description: "when a reading is too old to be believed" }),
    forecast: z
      .strictObject({ wind: speed("for boats without a wind sensor, and for planning", "15 kn").optional() })
      .prefault({})
      .meta({ description: "what is expected" }),
    tide: z
      .strictObject({
        rise: length("rise expected above the level at let go, where no height is told", "1.2 m").optional(),
        high_water: instant("next high water", "2026-06-15T04:40Z").optional(),
        high_water_height: height("of that high water", "5.2 m").optional(),
        low_water: instant("next low water", "2026-06-15T10:50Z").optional(),
        low_water_height: height("of that low water", "1.2 m").optional(),
        table: z
          .string()
          .min(1)
          .optional()
          .meta(said("CSV file of high and low waters, a time and a height a line; from here", "tides.csv")),
      })
      .prefault({})
      .meta({ description: "the tide, where there is one: any of these" }),
    page: z
      .strictObject({
        listen: address("where the page is served", "127.0.0.1:8010").prefault("127.0.0.1:8010"),
        units: z
          .enum(["metric", "feet", "fathoms"])
          .default("metric")
          .meta(said("for lengths shown", "metric")),
      })
      .prefault({})
      .meta({ description: "the status page" }),
    mqtt: z
      .strictObject({
        broker: z
          .string()
          .regex(/^(?:mqtts?|wss?):\/\/[^\s/]+/, {
            error: ({ input }) => `${shown(input)} found; a broker like "mqtt://192.168.1.10:1883" wanted`,
          })
          .optional()
          .meta(said("unset: none is told; it tells, and takes no orders", "mqtt://192.168.1.10:1883")),
        name: z
          .string()
          .regex(/^[a-z0-9-]+$/, {
            error: ({ input }) => `${shown(input)} found; small letters, digits and dashes wanted`,
          })
          .optional()
          .meta(said("topics are rodeward/<name>/…; unset: from the boat's name", "grey-plover")),
        username: z.string().min(1).optional().meta(said("where the broker wants one", "boat")),
        password_file: z
          .string()
          .min(1)
          .optional()
          .meta(said("file with the password in it", "/etc/rodeward/mqtt-password")),
      })
      .prefault({})
      .meta({ description: "an MQTT broker that is told how she lies" }),
    log: z
      .strictObject({
        directory: z
          .string()
          .min(1)
          .optional()
          .meta(said("unset: $STATE_DIRECTORY, else the XDG state folder", "/var/lib/rodeward")),
        raw: z.boolean().default(true).meta(said("keep every sentence heard, for export and rerun", true)),
        keep_nights: z
          .int({ error: ({ input }) => `${shown(input)} found; a whole number of nights wanted, 1 or more` })
          .min(1)
          .default(365)
          .meta(said("the oldest go first, and sooner when room gets short", 365)),
      })
      .prefault({})
      .meta({ description: "where state and the night log are kept" }),
  })
  // Told together with all other problems, not only once those are gone.
  .superRefine(contradictions, { when: () => true });

type Parsed = z.output<typeof configSchema>;

/** With the tide table that it names, once that has been read. */
export type Config = Omit<Parsed, "tide"> & {
  tide: Parsed["tide"] & { turns?: readonly TideTurn[] };
};
/** A configuration, or what stands in for one where none is given: the defaults, and no rode. */
export type BoatConfig = Omit<Config, "rode"> & { rode: Config["rode"] | undefined };
export type PortConfig = Config["port"][number];

/** Configuration → the settings of the core. */
import type { CoreSettings, PortRule } from "../core.ts";
import type { TideTurn } from "../tackle/tide.ts";
import { RESERVED_PORTS } from "./contradictions.ts";
import { setInUse } from "./in-use.ts";
import { type BoatConfig, type Config, configSchema, type PortConfig } from "./schema.ts";

const OWN_EDGE: PortRule = { operator: true, acknowledge: true, internal: true, checksum: "required" };
/** Lines of a log that name no port: what was done then is done again. */
const LOG: PortRule = { operator: true, acknowledge: true, internal: false, checksum: "required" };

export interface CoreOptions {
  utc: "learn" | "given";
  /** Replay without what the operator did. */
  ignoreOperator: boolean;
}

const BARE = configSchema.parse({ rode: { chain: "1 m", rope: "1 m" } });

/** No boat: the defaults, and no rode. */
export function bareConfig(): BoatConfig {
  return { ...BARE, rode: undefined };
}

/** Settings for a boat whose configuration is known, or for none at all (replay of somebody's log). */
export function coreSettings(given: Config | undefined, options: CoreOptions): CoreSettings {
  const config: BoatConfig = given ?? bareConfig();
  const ms = (seconds: number) => seconds * 1000;
  const { sources, stale } = config;
  return {
    instruments: {
      sources: {
        position: sources.position,
        depth: sources.depth,
        wind: sources.wind,
        heading: sources.heading,
        fallBackMs: ms(sources.fall_back_after),
      },
      staleMs: {
        position: ms(stale.position),
        depth: ms(stale.depth),
        wind: ms(stale.wind),
        heading: ms(stale.heading),
      },
      transducerBelowWaterM: config.transducer.below_water,
      draughtM: config.boat.draught,
      utc: options.utc,
    },
    watch: watchSettings(config),
    ports: portRules(config.port, options.ignoreOperator),
    inUse(values) {
      const set = setInUse(config, values);
      return set.ok ? watchSettings(set.config) : set.reason;
    },
  };
}

const ATTENDED_LEAST = 2;

export function watchSettings(config: BoatConfig): CoreSettings["watch"] {
  const { boat, rode, scope, watch } = config;
  return {
    boat: {
      lengthM: boat.length,
      beamM: boat.beam,
      draughtM: boat.draught,
      windageAreaM2: boat.windage_area,
      rollerHeightM: boat.roller_height,
      rollerToAntennaM: boat.roller_to_antenna,
    },
    rode: rode && {
      chainM: rode.chain,
      chainDiameterM: rode.chain_diameter,
      ropeM: rode.rope,
      ropeDiameterM: rode.rope_diameter,
      ropeKind: rode.rope_kind,
    },
    steps: scope.steps.map((step) => ({ windMps: step.wind, ratio: step.ratio })),
    leastScope: watch.stay === "attended" ? Math.min(ATTENDED_LEAST, scope.least) : scope.least,
    pullLimitDeg: scope.pull_limit,
    surge: scope.surge,
    stay: watch.stay,
    marginM: watch.margin,
    leaveAfterMs: watch.leave_after * 1000,
    windLimitMps: watch.wind_limit,
    gustLimitMps: watch.gust_limit,
    leastUnderKeelM: watch.least_under_keel,
    supplyLimitV: watch.supply_limit,
    notBroughtUpAfterMs: watch.not_brought_up_after * 1000,
    autoBroughtUp: watch.auto_brought_up,
    shiftLimitDeg: watch.shift_limit,
    massKg: boat.displacement,
    windlassPullN: boat.windlass_pull,
    windlassMps: boat.windlass_speed,
    marksM: [...(boat.marks ?? [])].sort((a, b) => a - b),
    forecastWindMps: config.forecast.wind,
    tideRiseM: config.tide.rise,
    tideTimes: { highWaterMs: config.tide.high_water, lowWaterMs: config.tide.low_water },
    tideTurns: turnsOf(config.tide),
    receiverProfile: undefined,
    units: config.page.units,
  };
}

/** The table, else the one high and low water with their heights, else none. */
function turnsOf(tide: BoatConfig["tide"]): readonly TideTurn[] {
  const { high_water: highMs, high_water_height: highM, low_water: lowMs, low_water_height: lowM } = tide;
  if (tide.turns !== undefined) return tide.turns;
  if (highMs === undefined || highM === undefined || lowMs === undefined || lowM === undefined) return [];
  const turns = [
    { atMs: highMs, heightM: highM },
    { atMs: lowMs, heightM: lowM },
  ];
  return turns.sort((a, b) => a.atMs - b.atMs);
}

function portRules(ports: readonly PortConfig[], ignoreOperator: boolean): Record<string, PortRule> {
  const rules: Record<string, PortRule> = {};
  for (const name of RESERVED_PORTS) rules[name] = name === "log" ? LOG : OWN_EDGE;
  for (const port of ports) {
    rules[port.name] = {
      operator: port.operator,
      acknowledge: port.acknowledge ?? isNear(port),
      internal: false,
      checksum: port.checksum,
    };
  }
  if (!ignoreOperator) return rules;
  return Object.fromEntries(
    Object.entries(rules).map(([name, rule]) => [name, { ...rule, operator: false }]),
  );
}

/** A wire aboard or this machine: its acknowledgements are believed unless the configuration says no. */
function isNear(port: PortConfig): boolean {
  if (port.kind === "udp-61162-450") return false;
  if (!("listen" in port || "address" in port)) return true;
  const host = port.kind === "tcp-client" ? port.address.host : port.listen.host;
  return isLoopback(host);
}

/** This machine and no other. */
export function isLoopback(host: string): boolean {
  return host === "localhost" || host === "::1" || host.startsWith("127.");
}

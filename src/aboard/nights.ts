/** The night log as the daemon wires it. */
import type { Config } from "../config/schema.ts";
import { createNightLog, type NightLog, type NightLogDeps } from "../nightlog/night-log.ts";

export function openNights({
  directory,
  config,
  ...deps
}: { directory: string; config: Config } & Pick<NightLogDeps, "fact" | "log" | "nowMs">): NightLog {
  return createNightLog(directory, {
    ...deps,
    config: JSON.stringify(config),
    origin: "watch",
    keepRaw: config.log.raw,
    keepNights: config.log.keep_nights,
    wallMs: Date.now,
  });
}

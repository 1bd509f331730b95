/** Where state is kept: as configured, else as systemd says, else the XDG state folder. */
import { existsSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";

export function stateDirectory(
  configured: string | undefined,
  env: Readonly<Record<string, string | undefined>>,
): string {
  const first = env.STATE_DIRECTORY?.split(":")[0];
  return configured ?? (first || join(env.XDG_STATE_HOME || join(homedir(), ".local", "state"), "rodeward"));
}

/** Where the service's unit keeps it (`StateDirectory=rodeward`). */
const OF_SERVICE = "/var/lib/rodeward";

/** The same for a person's shell: the service's, where one is installed. */
export function stateDirectoryFromShell(
  configured: string | undefined,
  env: Readonly<Record<string, string | undefined>>,
  ofService = OF_SERVICE,
): string {
  const isServed = !env.STATE_DIRECTORY && existsSync(ofService);
  return configured ?? (isServed ? ofService : stateDirectory(undefined, env));
}

/** Where state is kept: as configured, else as systemd says, else the XDG state folder. */
import { homedir } from "node:os";
import { join } from "node:path";

export function stateDirectory(
  configured: string | undefined,
  env: Readonly<Record<string, string | undefined>>,
): string {
  const first = env.STATE_DIRECTORY?.split(":")[0];
  return configured ?? (first || join(env.XDG_STATE_HOME || join(homedir(), ".local", "state"), "rodeward"));
}

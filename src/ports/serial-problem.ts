/** Why a serial port does not open, in words that help. The facts are gathered apart, so the words can be tested. */
import { constants } from "node:fs";
import { access, readFile, stat } from "node:fs/promises";

export interface DeviceFacts {
  exists: boolean;
  /** A character device: a terminal line at least, no plain file. */
  isDevice: boolean;
  /** May this process read and write it? */
  allowed: boolean;
  /** Name of the group that owns it, where the system tells. */
  group: string | undefined;
}

/** Looks the device up. Never rejects: what cannot be learnt is taken as absent. */
export async function deviceFacts(device: string): Promise<DeviceFacts> {
  const found = await stat(device).catch(() => undefined);
  if (found === undefined) return { exists: false, isDevice: false, allowed: false, group: undefined };
  const allowed = await access(device, constants.R_OK | constants.W_OK).then(
    () => true,
    () => false,
  );
  const groups = await readFile("/etc/group", "utf8").catch(() => "");
  return { exists: true, isDevice: found.isCharacterDevice(), allowed, group: groupName(groups, found.gid) };
}

/** Name of a group number in the text of a group file (group(5): name, password, number, members). */
export function groupName(groupFile: string, gid: number): string | undefined {
  for (const row of groupFile.split("\n")) {
    const [name, , number] = row.split(":");
    if (name && number === String(gid)) return name;
  }
  return undefined;
}

/**
 * One line for a person.
 * @param message what the system said, used when the facts show nothing wrong
 */
export function explainSerial(device: string, facts: DeviceFacts, message: string): string {
  if (!facts.exists) return `no such device ${device}; \`rodeward ports\` lists what there is`;
  if (!facts.allowed) return `permission denied for ${device}: ${permissionHelp(facts.group)}`;
  if (!facts.isDevice || /ioctl/i.test(message))
    return `${device} is no serial device; \`rodeward ports\` lists what there is`;
  if (/lock|busy/i.test(message)) return `${device} is in use by another program`;
  return `cannot open ${device}: ${message}`;
}

/** The group "root" is no group to join: then only a udev rule, or another group on the device, helps. */
function permissionHelp(group: string | undefined): string {
  if (group === "root") return "it belongs to group root; give the device to the group dialout (a udev rule)";
  return `add the user to the group ${group ?? "dialout"} and log in again`;
}

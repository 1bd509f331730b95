/** `rodeward ports`: serial devices by the names to configure, and services of sentences found on the network. */
import { hostPort } from "../ports/net-problem.ts";
import { listSerial, type SerialDevice } from "../ports/serial-list.ts";
import { type FoundService, findServices } from "../ports/service-query.ts";
import { columns } from "./columns.ts";
import type { Console } from "./console.ts";

export interface Sought {
  serial: () => Promise<SerialDevice[]>;
  services: (forMs: number) => Promise<FoundService[]>;
}

const REAL: Sought = { serial: () => listSerial(), services: (forMs) => findServices(forMs) };

export async function listPorts(seconds: number, console: Console, sought: Sought = REAL): Promise<void> {
  console.err(`asking the network for ${seconds} s`);
  const [devices, services] = await Promise.all([sought.serial(), sought.services(seconds * 1000)]);
  for (const line of deviceLines(devices)) console.out(line);
  console.out("");
  for (const line of serviceLines(services)) console.out(line);
}

function deviceLines(devices: readonly SerialDevice[]): string[] {
  if (devices.length === 0) return ["no serial device is found"];
  const rows = devices.map((one) => [one.name, one.device === one.name ? "" : one.device, remarkOn(one)]);
  return columns(["serial device", "now at", ""], rows);
}

function remarkOn({ maker, isStable, allowed, group }: SerialDevice): string {
  const remarks = [
    maker ?? "",
    isStable ? "" : "this name may change from start to start",
    allowed ? "" : `permission denied: add the user to the group ${group ?? "dialout"}`,
  ];
  return remarks.filter((remark) => remark !== "").join("; ");
}

function serviceLines(services: readonly FoundService[]): string[] {
  if (services.length === 0) return ["no service of sentences is found on the network"];
  const rows = services.map(({ name, host, port, addresses }) => {
    const at = addresses[0] ?? host;
    const address = at === undefined || port === undefined ? "" : hostPort(at, port);
    return [plain(name), address, address === "" ? "it did not say where" : 'kind = "tcp-client"'];
  });
  return columns(["service", "address", ""], rows);
}

/** A name comes from the network: nothing in it may steer a terminal. */
function plain(text: string): string {
  return text.replace(/[\p{Cc}\p{Cf}]/gu, "?");
}

/**
 * Every kind of port, one row each. To add one: its settings in port.ts, its file, its row here.
 */
import { openFile } from "./file.ts";
import type { OpenPort, PortDeps, PortEvents, PortKind, PortSettings } from "./port.ts";
import { openSerial } from "./serial.ts";
import { openStdin } from "./stdin.ts";
import { openTcpClient } from "./tcp-client.ts";
import { openTcpServer } from "./tcp-server.ts";
import { openUdp } from "./udp.ts";
import { openUdp450 } from "./udp-450.ts";
import { openUnix } from "./unix.ts";

interface KindRow<K extends PortKind> {
  /** In a few words, for a person. */
  readonly what: string;
  /** Does a failure at start end it (PortError), or is it down and tried again? */
  readonly firstFailure: "fatal" | "retried";
  open(settings: PortSettings<K>, events: PortEvents, deps: PortDeps): Promise<OpenPort>;
}

export const KINDS: { readonly [K in PortKind]: KindRow<K> } = {
  serial: { what: "a serial line", firstFailure: "retried", open: openSerial },
  "tcp-client": { what: "a connection to a TCP server", firstFailure: "retried", open: openTcpClient },
  "tcp-server": { what: "a TCP server for displays", firstFailure: "fatal", open: openTcpServer },
  udp: { what: "UDP datagrams in and out", firstFailure: "retried", open: openUdp },
  "udp-61162-450": { what: "datagrams after IEC 61162-450", firstFailure: "retried", open: openUdp450 },
  unix: { what: "a Unix socket for programs on this machine", firstFailure: "fatal", open: openUnix },
  file: { what: "a file that sentences are added to", firstFailure: "retried", open: openFile },
  stdin: {
    what: "standard input",
    firstFailure: "fatal",
    open: (settings, events, deps) => openStdin(settings, events, deps),
  },
};

/**
 * Opens a port of any kind. Resolves at once where a failure is retried (the outcome comes as a `state` event),
 * else when it is up. Rejects only with a PortError, and only for the kinds whose first failure is fatal.
 * `state` may be told before this resolves.
 */
export function openPort<K extends PortKind>(
  settings: PortSettings<K>,
  events: PortEvents,
  deps: PortDeps,
): Promise<OpenPort> {
  const row: KindRow<K> = KINDS[settings.kind as K];
  return row.open(settings, events, deps);
}

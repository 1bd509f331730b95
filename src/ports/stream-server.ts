/**
 * Serves sentences to many clients (displays, phones, other programs) over any kind of stream socket, and takes
 * what they send. Each client has its own bounded queue; one that does not keep up is dropped, and no other
 * notices.
 */
import { createServer, type ListenOptions, type Server, type Socket } from "node:net";
import { explainNet, hostPort } from "./net-problem.ts";
import { createOutflow } from "./outflow.ts";
import {
  type OpenPort,
  type PortDeps,
  PortError,
  type PortEvents,
  type PortKind,
  type PortSettings,
  type PortStats,
  wireLine,
} from "./port.ts";
import { PortReport } from "./port-report.ts";
import { KEEP_ALIVE } from "./tcp-client.ts";
import { watchUnanswered } from "./unanswered.ts";

/** 64 kB each at worst, so 8 MB; more than any boat has. */
export const MOST_CLIENTS = 128;
/** A client that has closed its half gets this long to take what is queued. */
const PARTING_MS = 1000;

export interface StreamServerPlan {
  at: ListenOptions;
  /** Where that is, for a person. */
  where: string;
}

export class StreamServerPort implements OpenPort {
  readonly name: string;
  readonly kind: PortKind;
  readonly #plan: StreamServerPlan;
  readonly #report: PortReport;
  readonly #server: Server;
  /** Those that are served. A socket leaves this map at once when it is given up or has said goodbye. */
  readonly #clients = new Map<Socket, (line: Buffer) => string | undefined>();
  /** Every socket not yet closed, for closing down. */
  readonly #sockets = new Set<Socket>();
  #stopWatching = (): void => {};
  #closed = false;

  constructor(settings: PortSettings, plan: StreamServerPlan, events: PortEvents, deps: PortDeps) {
    this.name = settings.name;
    this.kind = settings.kind;
    this.#plan = plan;
    this.#report = new PortReport(settings, events, deps.log);
    this.#server = createServer({ noDelay: true, ...KEEP_ALIVE }, (socket) => this.#welcome(socket));
    this.#server.maxConnections = MOST_CLIENTS;
    this.#server.on("drop", () =>
      this.#report.complain("client refused", `more than ${MOST_CLIENTS} clients; the newest are refused`),
    );
  }

  /** Rejects with a PortError when it cannot listen: nobody would hear an alarm. */
  async listen(): Promise<void> {
    const { at, where } = this.#plan;
    await new Promise<void>((resolve, reject) => {
      this.#server.once("error", (error) =>
        reject(new PortError(this.name, `cannot listen on ${where}: ${explainNet(error)}`)),
      );
      this.#server.listen(at, resolve);
    });
    this.#server.removeAllListeners("error");
    this.#server.on("error", (error) => this.#report.complain("client not accepted", explainNet(error)));
    this.#stopWatching = watchUnanswered(
      () => [...this.#clients.keys()].filter(({ remotePort }) => remotePort !== undefined),
      (socket) => this.#giveUp(socket, "it does not answer any more"),
    );
    const bound = this.#server.address();
    const own = bound === null || typeof bound === "string" ? where : hostPort(bound.address, bound.port);
    this.#report.stats.address = own;
    this.#report.up(`listening on ${own}`);
  }

  send(text: string): void {
    const line = wireLine(text);
    for (const [socket, write] of this.#clients) {
      const givenUp = write(line);
      if (givenUp !== undefined) this.#giveUp(socket, givenUp);
    }
  }

  stats(): PortStats {
    return { ...this.#report.stats, clients: this.#clients.size };
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#stopWatching();
    this.#report.silence();
    this.#report.stats.address = undefined;
    this.#clients.clear();
    for (const socket of this.#sockets) socket.destroy();
    if (!this.#server.listening) return;
    await new Promise<void>((resolve) => {
      this.#server.close(() => resolve());
    });
  }

  #welcome(socket: Socket): void {
    if (this.#closed) {
      socket.destroy();
      return;
    }
    let parting: NodeJS.Timeout | undefined;
    const stats = this.#report.stats;
    const splitter = this.#report.splitter();
    const write = createOutflow(socket, {
      sent: () => {
        stats.sent += 1;
      },
      dropped: (count) => {
        stats.dropped += count;
      },
    });
    this.#sockets.add(socket);
    this.#clients.set(socket, write);
    stats.joined += 1;
    socket.on("data", splitter.push);
    socket.on("error", () => {}); // "close" follows
    socket.on("end", () => {
      this.#clients.delete(socket);
      parting = setTimeout(() => socket.destroy(), PARTING_MS);
    });
    socket.on("close", () => {
      clearTimeout(parting);
      splitter.discard();
      this.#clients.delete(socket);
      this.#sockets.delete(socket);
    });
  }

  #giveUp(socket: Socket, why: string): void {
    this.#clients.delete(socket);
    const { remoteAddress, remotePort } = socket;
    const peer = remoteAddress === undefined ? "" : ` ${hostPort(remoteAddress, remotePort ?? 0)}`;
    this.#report.complain("client dropped", `client${peer} dropped: ${why}`);
    socket.destroy();
  }
}

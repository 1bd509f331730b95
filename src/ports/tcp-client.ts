/** A TCP connection to a gateway or another program that serves sentences. */
import { connect as connectTcp, type Socket } from "node:net";
import { type Connect, KeptLink, type Wire, type WireEvents } from "./kept-link.ts";
import { explainNet, hostPort } from "./net-problem.ts";
import { createOutflow } from "./outflow.ts";
import { type OpenPort, type PortDeps, type PortEvents, type PortSettings, wireLine } from "./port.ts";
import { watchUnanswered } from "./unanswered.ts";

const CONNECT_LIMIT_MS = 10_000;
/** After this long without data the system asks whether the peer is still there, ten times, a second apart. */
export const KEEP_ALIVE = { keepAlive: true, keepAliveInitialDelay: 10_000 };

/** Always succeeds: a peer that does not answer is a port that is down, and is tried again. */
export function openTcpClient(
  settings: PortSettings<"tcp-client">,
  events: PortEvents,
  deps: PortDeps,
): Promise<OpenPort> {
  const where = hostPort(settings.host, settings.port);
  const connect: Connect = async (on, signal) => {
    const socket = await connected(settings, where, signal);
    return runSocket(socket, where, on);
  };
  return Promise.resolve(new KeptLink(settings, events, deps, connect));
}

function connected(
  { host, port }: PortSettings<"tcp-client">,
  where: string,
  signal: AbortSignal,
): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connectTcp({ host, port, noDelay: true, ...KEEP_ALIVE });
    const fail = (why: string) => {
      socket.destroy();
      reject(new Error(`${where}: ${why}`));
    };
    const limit = setTimeout(() => fail("no answer"), CONNECT_LIMIT_MS);
    const abandon = () => {
      clearTimeout(limit);
      fail("given up");
    };
    signal.addEventListener("abort", abandon, { once: true });
    socket.once("connect", () => {
      clearTimeout(limit);
      signal.removeEventListener("abort", abandon);
      resolve(socket);
    });
    socket.on("error", (error) => {
      clearTimeout(limit);
      fail(explainNet(error));
    });
  });
}

function runSocket(socket: Socket, where: string, on: WireEvents): Wire {
  const lost = (why: string) => on.lost(`lost ${where}: ${why}`);
  const write = createOutflow(socket, on);
  const stopWatching = watchUnanswered(
    () => [socket],
    () => lost("it does not answer any more"),
  );
  socket.on("data", on.data);
  // A peer that has closed its half says no more; whether it still listens cannot be known.
  socket.on("end", () => lost("the other end closed the connection"));
  socket.on("error", (error) => lost(explainNet(error)));
  socket.on("close", () => lost("the connection ended"));
  return {
    how: `connected to ${where}`,
    address: hostPort(socket.localAddress ?? "", socket.localPort ?? 0),
    send(text) {
      const givenUp = write(wireLine(text));
      if (givenUp !== undefined) lost(givenUp);
    },
    close() {
      stopWatching();
      socket.destroy();
      return Promise.resolve();
    },
  };
}

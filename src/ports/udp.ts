/** Datagrams, each with one or more whole lines in it; sent to one address, which may be a broadcast one. */
import { createSocket, type RemoteInfo, type Socket } from "node:dgram";
import { isIPv6 } from "node:net";
import { networkInterfaces } from "node:os";
import { type Connect, KeptLink, type Wire, type WireEvents } from "./kept-link.ts";
import { explainNet, hostPort } from "./net-problem.ts";
import { type OpenPort, type PortDeps, type PortEvents, type PortSettings, wireLine } from "./port.ts";

type UdpSettings = PortSettings<"udp">;

/** Sends under way at once; beyond it (a name that cannot be looked up) sentences are dropped. */
const MOST_UNDER_WAY = 64;

/** Always succeeds: an address that cannot be bound is a port that is down, and is tried again. */
export function openUdp(settings: UdpSettings, events: PortEvents, deps: PortDeps): Promise<OpenPort> {
  const connect: Connect = async (on, signal) => {
    const socket = await bound(settings);
    if (signal.aborted) {
      socket.close();
      throw new Error("given up");
    }
    return runSocket(socket, settings, on);
  };
  return Promise.resolve(new KeptLink(settings, events, deps, connect));
}

function bound({ bindHost, bindPort }: UdpSettings): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = createSocket(isIPv6(bindHost) ? "udp6" : "udp4");
    socket.once("error", (error) => {
      socket.close();
      reject(new Error(`cannot bind ${hostPort(bindHost, bindPort)}: ${explainNet(error)}`));
    });
    socket.bind({ address: bindHost, port: bindPort }, () => {
      socket.removeAllListeners("error");
      resolve(socket);
    });
  });
}

function runSocket(socket: Socket, settings: UdpSettings, on: WireEvents): Wire {
  const own = socket.address();
  let closed = false;
  const close = () => {
    if (!closed) socket.close();
    closed = true;
    return Promise.resolve();
  };
  socket.on("error", (error) => on.lost(`lost ${hostPort(own.address, own.port)}: ${explainNet(error)}`));
  socket.on("message", (bytes, from) => {
    if (isEcho(from, own.port)) return;
    on.data(bytes);
    on.complete();
  });
  return {
    how: `bound to ${hostPort(own.address, own.port)}`,
    address: hostPort(own.address, own.port),
    send: createSender(socket, settings, on),
    close,
  };
}

/** A broadcast comes back to its sender: same port, one of this machine's addresses. */
function isEcho(from: RemoteInfo, ownPort: number): boolean {
  if (from.port !== ownPort) return false;
  const bare = from.address.split("%")[0];
  return Object.values(networkInterfaces()).some((addresses) => addresses?.some((a) => a.address === bare));
}

/** A failed send is a sentence lost, not a port down: a network may go and come. */
function createSender(socket: Socket, { sendHost, sendPort }: UdpSettings, on: WireEvents): Wire["send"] {
  if (sendHost === undefined || sendPort === undefined) return () => on.dropped(1);
  const where = hostPort(sendHost, sendPort);
  let underWay = 0;
  if (socket.address().family === "IPv4") socket.setBroadcast(true);
  return (text) => {
    if (underWay >= MOST_UNDER_WAY) {
      on.dropped(1);
      return;
    }
    underWay += 1;
    socket.send(wireLine(text), sendPort, sendHost, (error) => {
      underWay -= 1;
      if (error === null) {
        on.sent();
        return;
      }
      on.dropped(1);
      on.complain("datagram not sent", `cannot send to ${where}: ${explainNet(error)}`);
    });
  };
}

/**
 * Datagrams, each with one or more whole lines in it; sent to one address, which may be a broadcast or a
 * multicast one. Listening on a multicast address joins its group.
 */
import type { Socket } from "node:dgram";
import { boundSocket, datagramSender, isMulticast, isOwn } from "./datagram.ts";
import { type Connect, KeptLink, type Wire, type WireEvents } from "./kept-link.ts";
import { explainNet, hostPort } from "./net-problem.ts";
import { type OpenPort, type PortDeps, type PortEvents, type PortSettings, wireLine } from "./port.ts";

type UdpSettings = PortSettings<"udp">;

/** Always succeeds: an address that cannot be bound is a port that is down, and is tried again. */
export function openUdp(settings: UdpSettings, events: PortEvents, deps: PortDeps): Promise<OpenPort> {
  const { bindHost, bindPort, interfaceHost } = settings;
  const connect: Connect = async (on, signal) => {
    const socket = await boundSocket({ host: bindHost, port: bindPort, interfaceHost });
    if (signal.aborted) {
      socket.close();
      throw new Error("given up");
    }
    return runSocket(socket, settings, on);
  };
  return Promise.resolve(new KeptLink(settings, events, deps, connect));
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
    // Of a group other programs here may be members too, with the same port; by its port it cannot be told.
    if (!isMulticast(settings.bindHost) && isOwn(from, own.port)) return;
    on.data(bytes);
    on.complete();
  });
  const send = datagramSender(socket, settings, on);
  return {
    how: `bound to ${hostPort(own.address, own.port)}`,
    address: hostPort(own.address, own.port),
    send: (text) => send(wireLine(text)),
    close,
  };
}

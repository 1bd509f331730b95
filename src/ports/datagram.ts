/** A datagram socket: bound, joined to its group where the address is a multicast one, and sending to one address. */
import { createSocket, type RemoteInfo, type Socket } from "node:dgram";
import { isIPv6 } from "node:net";
import { networkInterfaces } from "node:os";
import type { WireEvents } from "./kept-link.ts";
import { explainNet, hostPort } from "./net-problem.ts";

/** Sends under way at once; beyond it (a name that cannot be looked up) sentences are dropped. */
const MOST_UNDER_WAY = 64;

/** 224.0.0.0 to 239.255.255.255 (RFC 5771), ff00::/8 (RFC 4291). */
export function isMulticast(host: string): boolean {
  return isIPv6(host) ? /^ff/i.test(host) : /^(?:22[4-9]|23\d)\./.test(host);
}

interface Bind {
  host: string;
  port: number;
  interfaceHost: string | undefined;
}

/** Rejects with an Error whose message is for a person. A multicast address is bound to itself and joined. */
export function boundSocket({ host, port, interfaceHost }: Bind): Promise<Socket> {
  const group = isMulticast(host);
  return new Promise((resolve, reject) => {
    // Several programs on one machine may hear the same group.
    const socket = createSocket({ type: isIPv6(host) ? "udp6" : "udp4", reuseAddr: group });
    const fail = (error: unknown) => {
      socket.close();
      reject(new Error(`cannot bind ${hostPort(host, port)}: ${explainNet(error)}`));
    };
    socket.once("error", fail);
    socket.bind({ address: host, port }, () => {
      socket.removeAllListeners("error");
      try {
        if (group) socket.addMembership(host, interfaceHost);
        resolve(socket);
      } catch (error) {
        fail(error);
      }
    });
  });
}

/** A broadcast comes back to its sender: same port, one of this machine's addresses. */
export function isOwn(from: RemoteInfo, ownPort: number): boolean {
  if (from.port !== ownPort) return false;
  const bare = from.address.split("%")[0];
  return Object.values(networkInterfaces()).some((addresses) => addresses?.some((a) => a.address === bare));
}

interface Destination {
  sendHost: string | undefined;
  sendPort: number | undefined;
  interfaceHost: string | undefined;
  ttl: number;
}

/** Sends one datagram. A failed send is a sentence lost, not a port down: a network may go and come. */
export function datagramSender(
  socket: Socket,
  { sendHost, sendPort, interfaceHost, ttl }: Destination,
  on: Pick<WireEvents, "sent" | "dropped" | "complain">,
): (bytes: Buffer) => void {
  if (sendHost === undefined || sendPort === undefined) return () => on.dropped(1);
  const where = hostPort(sendHost, sendPort);
  let underWay = 0;
  if (isMulticast(sendHost)) {
    socket.setMulticastTTL(ttl);
    if (interfaceHost !== undefined) socket.setMulticastInterface(interfaceHost);
  } else if (socket.address().family === "IPv4") socket.setBroadcast(true);
  return (bytes) => {
    if (underWay >= MOST_UNDER_WAY) {
      on.dropped(1);
      return;
    }
    underWay += 1;
    socket.send(bytes, sendPort, sendHost, (error) => {
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

/**
 * Connections to the page: so many in all, and so many for one address, so that a single device on the boat's
 * network, broken or hostile, cannot keep all the others out.
 */
import type { Server } from "node:http";
import type { Socket } from "node:net";

/** Lookers, and as many requests beside them. */
const MOST_IN_ALL = 200;
/** A browser opens about six for a page. */
export const MOST_FROM_ONE = 32;

/** This machine itself is not counted: what serves the page on behalf of others comes from there. */
export function limitCrowd(server: Server): void {
  server.maxConnections = MOST_IN_ALL;
  const byAddress = new Map<string, number>();
  server.on("connection", (socket: Socket) => {
    const address = socket.remoteAddress ?? "";
    if (address === "127.0.0.1" || address === "::1" || address === "::ffff:127.0.0.1") return;
    const count = byAddress.get(address) ?? 0;
    if (count >= MOST_FROM_ONE) {
      socket.destroy();
      return;
    }
    byAddress.set(address, count + 1);
    socket.once("close", () => {
      const left = (byAddress.get(address) ?? 1) - 1;
      if (left > 0) byAddress.set(address, left);
      else byAddress.delete(address);
    });
  });
}

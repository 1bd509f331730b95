/** A loopback TCP port to listen on: the wished-for one, or another when that is taken. */
import { createServer } from "node:net";

/** @param wished 0 for any */
export async function freePort(wished: number): Promise<number> {
  return (await tryPort(wished)) ?? (await tryPort(0)) ?? 0;
}

function tryPort(port: number): Promise<number | undefined> {
  return new Promise((resolve) => {
    const server = createServer();
    server.once("error", () => resolve(undefined));
    server.listen({ host: "127.0.0.1", port, exclusive: true }, () => {
      const address = server.address();
      const bound = typeof address === "object" && address !== null ? address.port : undefined;
      server.close(() => resolve(bound));
    });
  });
}

/** Telling the boat's network of the servers that displays may connect to, where the configuration says so. */
import { hostname } from "node:os";
import type { Config } from "../config/schema.ts";
import { type Announced, announceService } from "../ports/service-announce.ts";
import { networkAddresses } from "../ports/service-query.ts";

interface Log {
  info(fields: object, text: string): void;
  warn(fields: object, text: string): void;
}

/** What is to be announced: servers that others can reach. Loopback is nobody else's affair. */
export function announcedOf(
  { boat, port: ports }: Pick<Config, "boat" | "port">,
  machine: string,
  addresses: readonly string[],
): Announced[] {
  const host = `${machine.split(".")[0] ?? machine}-rodeward`;
  return ports.flatMap((port) => {
    if (port.kind !== "tcp-server" || !port.announce) return [];
    const everywhere = port.listen.host === "0.0.0.0" || port.listen.host === "::";
    const own = everywhere ? addresses : addresses.filter((address) => address === port.listen.host);
    if (own.length === 0) return [];
    return [{ name: `${boat.name}: ${port.name} (rodeward)`, host, port: port.listen.port, addresses: own }];
  });
}

/** Never rejects: what cannot be announced is said, and so is a name that had to be another. */
export async function openAnnouncing(config: Config, log: Log): Promise<{ close(): Promise<void> }> {
  const announced = announcedOf(config, hostname(), networkAddresses());
  const failed = (why: string) => log.warn({ why }, "not announced");
  const all = await Promise.all(
    announced.map(async (one) => {
      const announcement = await announceService(one, failed);
      void announcement.ready.then((name) => log.info({ name, port: one.port }, "announced"));
      return announcement;
    }),
  );
  return {
    close: async () => {
      await Promise.all(all.map((one) => one.close()));
    },
  };
}

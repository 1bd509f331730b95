import { expect, test } from "vitest";
import { announcedOf } from "../../src/aboard/announcing.ts";
import { readConfig } from "../../src/config/read.ts";

const server = (name: string, listen: string, more = "announce = true") =>
  `[[port]]\nname = "${name}"\nkind = "tcp-server"\nlisten = "${listen}"\n${more}\n`;

test("servers that others can reach and that say so, by their addresses", () => {
  const read = readConfig(
    `[boat]\nname = "Grey Plover"\n[rode]\nchain = "8 m"\nrope = "60 m"\n${server("all", "0.0.0.0:10110")}` +
      server("one", "192.0.2.7:2000") +
      server("local", "127.0.0.1:2001") +
      server("elsewhere", "192.0.2.9:2002") +
      server("quiet", "0.0.0.0:2003", ""),
  );
  if (!read.ok) throw new Error(read.problems.join());
  const addresses = ["192.0.2.7", "198.51.100.7"];
  expect(announcedOf(read.config, "plover.lan", addresses)).toEqual([
    { name: "Grey Plover: all (rodeward)", host: "plover-rodeward", port: 10110, addresses },
    { name: "Grey Plover: one (rodeward)", host: "plover-rodeward", port: 2000, addresses: ["192.0.2.7"] },
  ]);
});

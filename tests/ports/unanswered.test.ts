/** A display that leaves without a word: out of the Wi-Fi's reach, or switched off. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { MOST_RETRANSMITS, unansweredIn } from "../../src/ports/unanswered.ts";

/** Two rows as Linux 6.1 printed them, one connection before and after its network was taken away. */
const HEAD =
  "  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid  timeout inode";
const row = (local: string, remote: string, queues: string, retransmits: number) =>
  `   1: ${local} ${remote} 01 ${queues} 01:000004E1 ${retransmits.toString(16).padStart(8, "0")}     0        0 400633`;
const table = (...rows: string[]) => `${[HEAD, ...rows].join("\n")}\n`;

describe("the system's table of connections", () => {
  const gone = row("0100007F:AF27", "0100007F:C828", "000001F0:00000000", MOST_RETRANSMITS);

  test("one whose sentences are sent again and again is told, by its ports and its peer", () => {
    expect(unansweredIn(table(gone))).toEqual(["44839 127.0.0.1:51240"]);
  });

  test("one that has answered all, or has only just lost a packet, is not", () => {
    const answered = row("0100007F:AF27", "0100007F:C828", "00000000:00000000", MOST_RETRANSMITS);
    const lossy = row("0100007F:AF27", "0100007F:C828", "0000003E:00000000", MOST_RETRANSMITS - 1);
    expect(unansweredIn(table(answered, lossy))).toEqual([]);
  });

  test("IPv6, and IPv4 in its clothes", () => {
    // proc(5): each word of four bytes in the machine's order: fe80::1, and ::ffff:192.168.1.23.
    const sixth = row("0".repeat(32).concat(":277E"), "000080FE000000000000000001000000:C828", "1:0", 9);
    const fourth = row("0".repeat(32).concat(":277E"), "0000000000000000FFFF00001701A8C0:C829", "1:0", 9);
    expect(unansweredIn(table(sixth, fourth))).toEqual(["10110 [fe80::1]:51240", "10110 192.168.1.23:51241"]);
  });

  test("what is no such table tells nothing", () => {
    expect(unansweredIn("")).toEqual([]);
    expect(unansweredIn("not\na table")).toEqual([]);
  });
});

const [unshare = "", ...ownNetwork] = ["unshare", "--net", "--map-root-user", "sh", "-c"];
const mayUnshare = spawnSync(unshare, [...ownNetwork, "ip link set lo up"]).status === 0;

test.skipIf(!mayUnshare && !process.env.CI)(
  "a display whose network has gone is dropped within half a minute, though every write to it succeeds",
  () => {
    const child = fileURLToPath(new URL("unanswered-child.mjs", import.meta.url));
    const ran = spawnSync(
      unshare,
      [...ownNetwork, `ip link set lo up && exec "${process.execPath}" "${child}"`],
      {
        encoding: "utf8",
      },
    );
    const { clients, tookS, said } = JSON.parse(ran.stdout);
    expect(clients).toBe(0);
    expect(tookS).toBeGreaterThan(10);
    expect(tookS).toBeLessThan(35);
    expect(said).toEqual([expect.stringMatching(/^client dropped: client .* it does not answer any more$/)]);
  },
  60_000,
);

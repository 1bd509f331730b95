/** Acts and alert commands of the page, as lines like any other: they enter by the port `page`. */
import { ALERTS, rowOf } from "../alerts/table.ts";
import type { Advance } from "../core.ts";
import { seal } from "../nmea/seal.ts";
import type { ActAnswer, ActRefusal, AlertCommand, CommandAnswer } from "../page/page.ts";
import type { AlertKey } from "../watch/finding.ts";

export function pageActs(takeLine: (text: string) => Advance): {
  act(body: string): ActAnswer;
  command(key: string, command: AlertCommand): CommandAnswer;
} {
  return {
    act(body) {
      for (const { sentence } of takeLine(seal(body)).out) {
        if (sentence.id !== "PRDW") continue;
        const order = sentence.content?.order;
        if (order?.verb === "ACK") return { ok: true };
        if (order?.verb === "NAK") return { ok: false, reason: (order.reason ?? "format") as ActRefusal };
      }
      return { ok: false, reason: "format" };
    },
    command(key, command) {
      if (!ALERTS.some((row) => row.key === key)) return { ok: false, reason: "unknown" };
      const id = rowOf(key as AlertKey).alfId;
      const { changes } = takeLine(seal(`IIACN,,RDW,${id},1,${command === "silence" ? "S" : "A"},C`));
      return changes.some((change) => change.key === key) ? { ok: true } : { ok: false, reason: "refused" };
    },
  };
}

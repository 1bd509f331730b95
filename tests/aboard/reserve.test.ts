import { expect, test } from "vitest";
import type { Outlet } from "../../src/aboard/outlet.ts";
import { createReserve } from "../../src/aboard/reserve.ts";
import { sendAll } from "../../src/aboard/sender.ts";
import { command, NO_ALERTS, review } from "../../src/alerts/life-cycle.ts";
import { announce, repeats } from "../../src/alerts/sentences.ts";
import { coreSettings } from "../../src/config/settings.ts";
import { begin, type Out } from "../../src/core.ts";
import type { PortStats } from "../../src/ports/port.ts";
import type { Finding } from "../../src/watch/finding.ts";
import { AT_MS, finding } from "../alerts/alerts-aboard.ts";

function outletOf(name: string, backup: boolean): { outlet: Outlet; sent: string[] } {
  const sent: string[] = [];
  const settings = { name, kind: "stdin", talker: "II", send: ["alerts"], leaveOut: [], backup } as const;
  const port = {
    name,
    kind: "stdin" as const,
    send: (text: string) => void sent.push(text),
    stats: () => ({}) as PortStats,
    close: () => Promise.resolve(),
  };
  return { outlet: { settings, port }, sent };
}

const formatters = (sent: readonly string[]) => sent.map((text) => text.slice(3, 6));

test("a back-up output hears nothing that sounds until an alarm has stood a minute, then all until it is seen", () => {
  const first = outletOf("displays", false);
  const second = outletOf("siren", true);
  const outlets = [first.outlet, second.outlet];
  const reserve = createReserve(outlets);
  const core = begin(coreSettings(undefined, { utc: "given", ignoreOperator: false }), AT_MS);
  const tell = (changes: Parameters<typeof announce>[1]) => {
    const told = announce(core.alerts, changes, core.atMs, 0);
    const due = repeats(told.alerts, core.atMs, 0);
    core.alerts = due.alerts;
    const out: Out[] = [...told.out, ...due.out].map((sentence) => ({
      class: "alerts",
      sentence,
      atMs: core.atMs,
    }));
    sendAll(
      out,
      outlets,
      (error) => {
        throw error;
      },
      reserve.isHeldBack,
    );
    reserve.take(core);
  };
  const found = (findings: readonly Finding[], seconds: number) => {
    for (let s = 0; s < seconds; s++) {
      core.atMs += 1000;
      const reviewed = review(core.alerts, findings, core.atMs);
      core.alerts = reviewed.alerts;
      tell(reviewed.changes);
    }
  };
  core.alerts = NO_ALERTS;
  // A warning is never cause enough.
  found([finding("rode-short", "warning")], 200);
  expect(first.sent.length).toBeGreaterThan(10);
  expect(new Set(formatters(second.sent))).toEqual(new Set(["ALC", "HBT"]));
  found([finding("dragging")], 60);
  expect(formatters(second.sent)).not.toContain("ALR");
  found([finding("dragging")], 1);
  const called = second.sent.filter((text) => /ALR|ALF/.test(text));
  expect(called.some((text) => /^\$IIALR,[\d.]+,801,A,V,ANCHOR DRAGGING\*/.test(text))).toBe(true);
  expect(called.some((text) => /^\$IIALF,1,1,.*,10801,/.test(text))).toBe(true);
  const done = command(core.alerts, "dragging", "acknowledge", "page", core.atMs);
  core.alerts = done?.alerts ?? core.alerts;
  tell(done === undefined ? [] : [done.change]);
  // It is told that somebody has seen it, and no more.
  expect(second.sent.at(-2)).toMatch(/^\$IIALR,[\d.]+,801,A,A,/);
  const length = second.sent.length;
  found([finding("dragging")], 100);
  expect(new Set(formatters(second.sent.slice(length)))).toEqual(new Set(["ALC", "HBT"]));
});

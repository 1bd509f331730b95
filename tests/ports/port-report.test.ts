import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { messageOf, PortReport } from "../../src/ports/port-report.ts";
import { createEar, createJournal } from "./ear.ts";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

const settings = {
  name: "pipe",
  kind: "stdin",
  talker: "II",
  leaveOut: [],
  backup: false,
  send: [],
} as const;

test("a listener that keeps failing is counted each time and logged once a minute", () => {
  const journal = createJournal();
  const fail = () => {
    throw new Error("no room");
  };
  const report = new PortReport(settings, { line: fail, state: fail }, journal.deps.log);
  const splitter = report.splitter();
  for (let second = 0; second < 150; second++) {
    splitter.push(Buffer.from("x\n"));
    vi.advanceTimersByTime(1000);
  }
  expect(report.stats).toMatchObject({ lines: 150, listenerErrors: 150, lastError: "no room" });
  expect(journal.entries).toHaveLength(3);
  expect(journal.entries[0]).toEqual({
    level: "warn",
    fields: { port: "pipe", why: "no room" },
    text: "port listener failed",
  });
});

test("each change of state is told once; coming up after a loss is a reconnect", () => {
  const ear = createEar();
  const report = new PortReport(settings, ear.events, createJournal().deps.log);
  for (const why of ["absent", "absent", "denied"]) report.down(why);
  expect(report.stats).toMatchObject({ state: "down", lastError: "denied" });
  report.up("here");
  expect(report.stats.reconnects).toBe(0);
  report.down("gone");
  report.up("here");
  report.up("here");
  expect(report.stats.reconnects).toBe(1);
  expect(ear.states.map((s) => s.why)).toEqual(["absent", "here", "gone", "here"]);
});

test("what was thrown becomes one line", () => {
  expect(messageOf(new Error("a\n  b"))).toBe("a b");
  expect(messageOf(undefined)).toBe("undefined");
  expect(messageOf(new Error(""))).toBe("unknown error");
});

import type { Socket } from "node:net";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { createOutflow, OUTFLOW_BOUND, STALLED_MS } from "../../src/ports/outflow.ts";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** The part of a socket that counts: what was written, and what of it the system has taken. */
function fakeSocket() {
  const socket = {
    writable: true,
    writableLength: 0,
    bytesWritten: 0,
    write(line: Buffer) {
      socket.bytesWritten += line.length;
      socket.writableLength += line.length;
      return true;
    },
    take(bytes: number) {
      socket.writableLength -= bytes;
    },
  };
  const counts = { sent: vi.fn(), dropped: vi.fn() };
  return { socket, counts, write: createOutflow(socket as unknown as Socket, counts) };
}

const line = Buffer.alloc(100);

test("gives up when more would wait than the bound", () => {
  const { write, counts } = fakeSocket();
  let written = 0;
  while (write(line) === undefined) written += 1;
  expect(written).toBe(Math.floor(OUTFLOW_BOUND / line.length));
  expect(counts.dropped).toHaveBeenCalledWith(1);
});

test("gives up a peer that takes nothing for 30 s, however little waits", () => {
  const { write } = fakeSocket();
  expect(write(line)).toBeUndefined();
  vi.advanceTimersByTime(STALLED_MS - 1);
  expect(write(line)).toBeUndefined();
  vi.advanceTimersByTime(1);
  expect(write(line)).toBe("it takes nothing");
});

test("a slow peer that takes something now and then is kept", () => {
  const { write, socket } = fakeSocket();
  write(line);
  for (let i = 0; i < 20; i++) {
    expect(write(line)).toBeUndefined();
    socket.take(10);
    vi.advanceTimersByTime(20_000);
  }
});

test("a long pause without anything to send is no stall", () => {
  const { write, socket } = fakeSocket();
  write(line);
  socket.take(100);
  vi.advanceTimersByTime(600_000);
  expect(write(line)).toBeUndefined();
});

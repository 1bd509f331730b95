import { EventEmitter } from "node:events";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { createAudience, type Looker, TOO_FAR_BEHIND_BYTES } from "../../src/page/audience.ts";

class FakeSocket extends EventEmitter implements Looker {
  bufferedAmount = 0;
  heard: string[] = [];
  pings = 0;
  isAlive = true;
  isGone = false;
  send(text: string): void {
    this.heard.push(text);
  }
  ping(): void {
    this.pings++;
    if (this.isAlive) this.emit("pong");
  }
  close(): void {
    if (this.isAlive) this.emit("close");
  }
  terminate(): void {
    this.isGone = true;
    this.emit("close");
  }
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ["setTimeout", "setInterval", "clearTimeout", "clearInterval", "performance"] });
});
afterEach(() => {
  vi.useRealTimers();
});

describe("those who look", () => {
  test("one who has left the network without a word is found and dropped within half a minute", () => {
    const audience = createAudience(() => "picture");
    const [here, gone] = [new FakeSocket(), new FakeSocket()];
    audience.join(here);
    audience.join(gone);
    gone.isAlive = false;
    vi.advanceTimersByTime(31_000);
    expect([here.isGone, gone.isGone]).toEqual([false, true]);
    vi.advanceTimersByTime(300_000);
    expect(here.isGone).toBe(false);
    expect(gone.pings).toBe(1);
  });

  test("one who is too far behind is dropped instead of told more", () => {
    const audience = createAudience(() => "picture");
    const [brisk, slow] = [new FakeSocket(), new FakeSocket()];
    audience.join(brisk);
    audience.join(slow);
    slow.bufferedAmount = TOO_FAR_BEHIND_BYTES + 1;
    audience.push();
    expect([brisk.heard.length, slow.heard.length]).toEqual([2, 1]);
    expect([brisk.isGone, slow.isGone]).toEqual([false, true]);
  });

  test("the first change is shown at once, the others when 200 ms have gone by", () => {
    let state = 0;
    const audience = createAudience(() => String(state));
    const socket = new FakeSocket();
    audience.join(socket);
    for (state = 1; state <= 100; state++) {
      audience.push();
      vi.advanceTimersByTime(10);
    }
    vi.advanceTimersByTime(200);
    expect(socket.heard.slice(0, 2)).toEqual(["0", "1"]);
    // 1 s of changes: shown at 0, 200, 400, 600, 800 and, the last, at 1000 ms.
    expect(socket.heard).toHaveLength(7);
  });

  test("a page that says it is armed is an ear, until it says otherwise or goes", () => {
    const audience = createAudience(() => "picture");
    const socket = new FakeSocket();
    audience.join(socket);
    expect(audience.hears()).toBe(false);
    socket.emit("message", Buffer.from("armed"));
    expect(audience.hears()).toBe(true);
    socket.emit("message", Buffer.from("quiet"));
    expect(audience.hears()).toBe(false);
    socket.emit("message", Buffer.from("armed"));
    socket.terminate();
    expect(audience.hears()).toBe(false);
  });

  test("nobody looks: nothing is asked for", () => {
    const picture = vi.fn(() => "picture");
    const audience = createAudience(picture);
    audience.push();
    vi.advanceTimersByTime(1000);
    expect(picture).not.toHaveBeenCalled();
  });

  test("closing does not wait for the dead", async () => {
    const audience = createAudience(() => "picture");
    const dead = new FakeSocket();
    audience.join(dead);
    dead.isAlive = false;
    const closing = audience.close();
    await vi.advanceTimersByTimeAsync(250);
    await closing;
    expect(dead.isGone).toBe(true);
    expect(vi.getTimerCount()).toBe(0);
  });
});

import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Channel, type Choice, choose, emptyChannel, put } from "../../src/instruments/channel.ts";

const CHOICE: Choice = { order: ["bus/GP", "bus", "wifi"], staleMs: 5000, fallBackMs: 10_000 };

interface Story {
  hear(atS: number, ...sources: string[]): Story;
  using(atS: number): string | undefined;
}

/** A channel whose value is the source's own name. */
function channelStory(choice: Choice = CHOICE): Story {
  const channel: Channel<string> = emptyChannel();
  const story: Story = {
    hear(atS, ...sources) {
      for (const source of sources) put(channel, source, 0, source, atS * 1000, choice.staleMs);
      choose(channel, choice, atS * 1000);
      return story;
    },
    using: (atS) => choose(channel, choice, atS * 1000)?.value,
  };
  return story;
}

describe("which source", () => {
  test("the one named first, by port or port and talker; the log port last of all", () => {
    expect(channelStory().hear(1, "wifi/GP", "bus/II", "bus/GP").using(1)).toBe("bus/GP");
    expect(channelStory().hear(1, "wifi/GP", "bus/II").using(1)).toBe("bus/II");
    expect(channelStory().hear(1, "log/GP", "other/GP").using(1)).toBe("other/GP");
    expect(channelStory().hear(1, "busy/GP", "wifi/GP").using(1)).toBe("wifi/GP");
  });

  test("the better sentence of one source", () => {
    const channel: Channel<string> = emptyChannel();
    put(channel, "bus/GP", 2, "GLL", 1000, 5000);
    put(channel, "bus/GP", 0, "RMC", 1000, 5000);
    expect(choose(channel, CHOICE, 1000)?.value).toBe("RMC");
  });

  test("equals are not changed for one another", () => {
    const story = channelStory().hear(1, "wifi/ZZ");
    for (let s = 2; s < 60; s++) story.hear(s, "wifi/AA", "wifi/ZZ");
    expect(story.using(59)).toBe("wifi/ZZ");
  });
});

describe("failing over and falling back", () => {
  const both = (from: number, to: number, story: Story): Story => {
    for (let s = from; s <= to; s++) story.hear(s, "bus/GP", "wifi/GP");
    return story;
  };

  test("over at once when the best goes stale", () => {
    const story = both(1, 20, channelStory());
    for (let s = 21; s <= 25; s++) story.hear(s, "wifi/GP");
    expect(story.using(25)).toBe("bus/GP");
    expect(story.hear(26, "wifi/GP").using(26)).toBe("wifi/GP");
  });

  test("back only when the best has been alive for the fall-back time", () => {
    const story = both(1, 20, channelStory());
    for (let s = 21; s <= 40; s++) story.hear(s, "wifi/GP");
    both(41, 50, story);
    expect(story.using(50)).toBe("wifi/GP");
    expect(both(51, 51, story).using(51)).toBe("bus/GP");
  });

  test("a source that comes and goes is left alone", () => {
    const story = both(1, 5, channelStory());
    const used = new Set<string | undefined>();
    // Alive for 8 s, away for 8 s: always stale before it has been alive long enough.
    for (let s = 30; s <= 300; s++) {
      story.hear(s, ...(s % 16 < 8 ? ["bus/GP", "wifi/GP"] : ["wifi/GP"]));
      if (s > 48) used.add(story.using(s));
    }
    expect([...used]).toEqual(["wifi/GP"]);
  });

  test("a better one that has just come is taken at once when there is nothing else", () => {
    const story = channelStory().hear(1, "wifi/GP");
    expect(story.hear(20, "bus/GP").using(20)).toBe("bus/GP");
  });
});

describe("stale is missing", () => {
  test("to the millisecond", () => {
    const story = channelStory().hear(10, "bus/GP");
    expect(story.using(15)).toBe("bus/GP");
    expect(story.using(15.001)).toBeUndefined();
  });

  test("at any order of arrival: an old reading never comes after a newer one", () => {
    const reading = fc.record({
      atS: fc.integer({ min: 0, max: 30 }),
      source: fc.constantFrom("bus/GP", "wifi/GP"),
    });
    fc.assert(
      fc.property(fc.array(reading, { minLength: 1, maxLength: 12 }), (readings) => {
        const channel: Channel<number> = emptyChannel();
        for (const { atS, source } of readings) put(channel, source, 0, atS, atS * 1000, 5000);
        const known = choose(channel, CHOICE, 30_000);
        const newest = Math.max(...readings.filter((r) => r.source === "bus/GP").map((r) => r.atS), -1);
        if (newest >= 25) expect(known).toEqual({ value: newest, source: "bus/GP", atMs: newest * 1000 });
        if (readings.every((r) => r.atS < 25)) expect(known).toBeUndefined();
      }),
    );
  });
});

describe("a wire that invents talkers without end", () => {
  const flood = (channel: Channel<string>, atMs: number) => {
    for (let i = 0; i < 500; i++) put(channel, `wifi/${i}`, 0, "flood", atMs, 5000);
  };

  test("is kept to a bounded number of sources", () => {
    const channel: Channel<string> = emptyChannel();
    flood(channel, 1000);
    expect(Object.keys(channel.readings).length).toBeLessThanOrEqual(16);
  });

  test("does not push out the source in use, even within one second", () => {
    const channel: Channel<string> = emptyChannel();
    put(channel, "bus/GP", 0, "right", 1000, 5000);
    choose(channel, CHOICE, 1000);
    for (let s = 2; s <= 5; s++) {
      put(channel, "bus/GP", 0, "right", s * 1000, 5000);
      flood(channel, s * 1000);
      expect(choose(channel, CHOICE, s * 1000)?.value).toBe("right");
    }
  });
});

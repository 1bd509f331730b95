/** What goes out when: on each change, and by the clock. */
import { describe, expect, test } from "vitest";
import { boardOf, finding } from "./alerts-aboard.ts";

const times = (sent: readonly { at: number }[]): number[] => sent.map(({ at }) => at);
const drag = [finding("dragging", "alarm", "MOVED 14 M")];

test("ALR on each change and every 30 s while active, acknowledged or not", () => {
  const board = boardOf().found(drag, 40);
  expect(times(board.of("ALR"))).toEqual([1, 31]);
  board.heard("$IIACK,801*5C").found(drag, 50);
  expect(times(board.of("ALR"))).toEqual([1, 31, 40, 70]);
  expect(board.of("ALR").at(-1)?.text).toContain(",801,A,A,");
  board.found([], 100);
  expect(times(board.of("ALR"))).toEqual([1, 31, 40, 70, 91]);
  expect(board.of("ALR").at(-1)?.text).toContain(",801,V,A,");
});

test("ALF on each change and every 60 s while unacknowledged, as a pair with one sequence number", () => {
  const board = boardOf().found(drag, 130);
  expect(times(board.of("ALF"))).toEqual([1, 1, 61, 61, 121, 121]);
  const places = board.of("ALF").map(({ text }) => text.split(",").slice(1, 4).join());
  expect(places).toEqual(["2,1,0", "2,2,0", "2,1,1", "2,2,1", "2,1,2", "2,2,2"]);
  board.heard("$IIACN,123525.00,RDW,10801,1,A,C*2A").found(drag, 300);
  expect(times(board.of("ALF"))).toEqual([1, 1, 61, 61, 121, 121, 130, 130]);
});

test("a text that goes on is told every 15 s until it is acknowledged, then every minute, each time a new revision", () => {
  const board = boardOf();
  const moving = (seconds: number) => {
    for (let s = 0; s < seconds; s++)
      board.found([finding("dragging", "alarm", `MOVED ${board.out.length} ${s} M`)]);
  };
  const firsts = () => board.of("ALF").filter(({ text }) => text.startsWith("$IIALF,2,1,"));
  moving(50);
  expect(times(firsts())).toEqual([1, 16, 31, 46]);
  expect(firsts().map(({ text }) => text.split(",")[11])).toEqual(["1", "2", "3", "4"]);
  board.heard("$IIACN,123525.00,RDW,10801,1,A,C*2A");
  moving(130);
  expect(times(firsts()).slice(4)).toEqual([50, 110, 170]);
  // It is one alert: no new one is announced for a figure.
  expect(times(board.of("TXT"))).toEqual([1]);
  expect(times(board.of("ALR")).slice(0, 3)).toEqual([1, 31, 50]);
});

test("ALC and HBT every 30 s, alarm or no alarm", () => {
  const board = boardOf().found([], 45).found(drag, 80);
  expect(times(board.of("ALC"))).toEqual([1, 31, 61, 91, 121]);
  expect(times(board.of("HBT"))).toEqual([1, 31, 61, 91, 121]);
  expect(board.of("HBT")[0]?.text).toBe("$IIHBT,30,A,0*00");
});

test("sequence numbers run over: HBT and ALF after 9, ALC after 99", () => {
  const board = boardOf().found([], 30 * 101 + 1);
  const third = (id: string, place: number) => board.of(id).map(({ text }) => text.split(/[,*]/)[place]);
  expect(third("HBT", 3).slice(8, 12)).toEqual(["8", "9", "0", "1"]);
  expect(third("ALC", 3).slice(98, 102)).toEqual(["98", "99", "00", "01"]);
  const changing = boardOf();
  for (let i = 0; i < 7; i++) changing.found([finding("wind-lost", "caution", "")]).found([]);
  expect(changing.of("ALF").map(({ text }) => Number(text.split(",")[3]))).toEqual([
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 0, 1, 2, 3,
  ]);
});

describe("a caution goes out as ALF and ALC only: an ALR would sound on a simple display", () => {
  test("from the beginning to the end", () => {
    const board = boardOf()
      .found([finding("wind-lost", "caution", "No wind")], 200)
      .found([], 60);
    expect(board.of("ALR")).toEqual([]);
    expect(board.of("TXT")).toEqual([]);
    expect(times(board.of("ALF"))).toEqual([1, 1, 201]);
  });

  test("one that was a warning is told to be over there, once", () => {
    const board = boardOf().found([finding("depth-lost", "warning", "No depth")], 10);
    board.found([finding("depth-lost", "caution", "Back")], 70).found([], 60);
    expect(board.of("ALR").map(({ at, text }) => [at, text.split(",").slice(2, 5).join()])).toEqual([
      [1, "812,A,V"],
      [11, "812,V,A"],
    ]);
    expect(board.of("ALF").at(-1)?.text).toContain(",N,RDW,10812,");
  });
});

test("silence is told, and the return from it", () => {
  const board = boardOf().found(drag).heard("$IIACN,123525.00,RDW,10801,1,S,C*38").found(drag, 40);
  const states = board.of("ALF").map(({ at, text }) => [at, text.split(",")[7]]);
  expect(states.filter(([, letter]) => letter !== "")).toEqual([
    [1, "V"],
    [1, "S"],
    [31, "V"],
  ]);
});

test("a flapping finding makes few sentences: one pair for each change of state", () => {
  const board = boardOf();
  for (let i = 0; i < 10; i++) board.found(drag).found([]);
  expect(board.of("ALR")).toHaveLength(20);
  expect(board.of("ALF").filter(({ text }) => text.includes(",10801,1,"))).toHaveLength(40);
});

/** Acknowledging from outside: the old ACK, and ACN with its refusals. */
import { describe, expect, test } from "vitest";
import { ALERTS } from "../../src/alerts/table.ts";
import { seal } from "../../src/nmea/seal.ts";
import { type Board, boardOf, finding } from "./alerts-aboard.ts";

const alarmed = (): Board => boardOf().found([finding("dragging", "alarm", "MOVED 14 M")]);
const status = (board: Board) => board.alerts.active.dragging?.status;
/** What a command was answered with. */
const answersTo = (board: Board, text: string): string[] => {
  const before = board.out.length;
  return board
    .heard(text)
    .out.slice(before)
    .map((sent) => sent.text);
};

describe("ACK", () => {
  test.each(["$IIACK,801*5C", seal("IIACK,0801"), seal("RAACK,00801")])("%s", (text) => {
    expect(status(alarmed().heard(text))).toBe("acknowledged");
  });

  test.each(["IIACK,802", "IIACK,1", "IIACK,", "IIACK,10801"])("%s is for something else", (body) => {
    const board = alarmed();
    expect(answersTo(board, seal(body))).toEqual([]);
    expect(status(board)).toBe("unacknowledged");
  });
});

describe("ACN", () => {
  test.each([
    ["$IIACN,123525.00,RDW,10801,1,A,C*2A", "acknowledged"],
    ["$IIACN,123525.00,RDW,10801,1,S,C*38", "silenced"],
    // Sources disagree on the order of the last two; their letters never collide.
    [seal("IIACN,123525.00,RDW,10801,1,C,A"), "acknowledged"],
    [seal("IIACN,123525.00,RDW,10801,1,C,S"), "silenced"],
    [seal("RAACN,,RDW,010801,,A,C"), "acknowledged"],
    [seal("RAACN,,RDW,10801,000001,A,C"), "acknowledged"],
    [seal("RAACN,,RDW,10801,0,S,C"), "silenced"],
  ])("%s → %s", (text, after) => {
    const board = alarmed();
    const answers = answersTo(board, text);
    expect(status(board)).toBe(after);
    expect(answers.some((answer) => answer.startsWith("$IIALF,"))).toBe(true);
    expect(answers.some((answer) => answer.startsWith("$IIARC,"))).toBe(false);
  });

  test.each([
    "IIACN,123525.00,RDW,10801,1,A,",
    "IIACN,123525.00,RDW,10801,1,,C",
    "IIACN,123525.00,RDW,10801,1,A,A",
    "IIACN,123525.00,TCK,10801,1,A,C",
    "IIACN,123525.00,,10801,1,A,C",
  ])("%s is no command to us: nothing happens, nothing is said", (body) => {
    const board = alarmed();
    expect(answersTo(board, seal(body))).toEqual([]);
    expect(status(board)).toBe("unacknowledged");
  });
});

describe("ARC refuses", () => {
  test("what does not exist, as published for 123525", () => {
    // Six seconds after the check values' instant.
    expect(answersTo(boardOf().found([], 6), seal("IIACN,123525.00,RDW,10999,1,A,C"))).toEqual([
      "$IIARC,123525.00,RDW,10999,1,A*59",
    ]);
  });

  test.each([
    ["an alert that is not active", "RDW,10802,1,A", "RDW,10802,1,A"],
    ["all instances at once", "RDW,10801,0,A", "RDW,10801,0,A"],
    ["another instance", "RDW,10801,2,A", "RDW,10801,2,A"],
    ["transfer of responsibility", "RDW,10801,1,O", "RDW,10801,1,O"],
    ["all alerts at once", "RDW,0,0,A", "RDW,0,0,A"],
  ])("%s", (_, asked, refused) => {
    const board = alarmed();
    const answers = answersTo(board, seal(`IIACN,,${asked},C`));
    expect(answers).toHaveLength(1);
    expect(answers[0]).toContain(`,${refused}*`);
    expect(status(board)).toBe("unacknowledged");
  });

  test("a caution, which needs none", () => {
    const board = boardOf().found([finding("wind-lost", "caution")]);
    expect(answersTo(board, seal("IIACN,,RDW,10813,1,A,C"))[0]).toMatch(/^\$IIARC,.*,RDW,10813,1,A\*/);
  });

  test("the same again", () => {
    const board = alarmed().heard("$IIACN,123525.00,RDW,10801,1,A,C*2A");
    expect(answersTo(board, "$IIACN,123525.00,RDW,10801,1,S,C*38")[0]).toMatch(/^\$IIARC,/);
  });

  test("without UTC its time is empty", () => {
    const board = boardOf("unknown").found([]);
    expect(answersTo(board, seal("IIACN,,RDW,10999,1,A,C"))[0]).toMatch(/^\$IIARC,,RDW,/);
  });
});

test("on request everything is told again, and nothing changes", () => {
  const all = ALERTS.map((row) => finding(row.key, "warning", "text"));
  const board = boardOf().found(all);
  const before = board.alerts.active;
  const answers = answersTo(board, "$IIACN,,,0,0,Q,C*5E");
  expect(answers).toHaveLength(2 * ALERTS.length);
  expect(answers.every((answer) => answer.startsWith("$IIALF,2,"))).toBe(true);
  expect(board.alerts.active).toEqual(before);
});

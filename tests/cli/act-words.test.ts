import { expect, test } from "vitest";
import { bodyOf } from "../../src/cli/act.ts";
import { ACT_FORMS, actHelp, rightForm } from "../../src/cli/act-words.ts";
import { seal } from "../../src/nmea/seal.ts";
import { ALL_VERBS } from "../../src/nmea/sentences/own.ts";
import { decode } from "../../src/nmea/table.ts";

/** What the edges say, not a person. */
const NOT_OF_A_PERSON = ["FACT", "ACK", "NAK"];

function orderOf(words: string) {
  const [verb = "", ...rest] = words.split(" ");
  const piece = decode(seal(bodyOf(verb, rest)), { checksum: "required" }).pieces[0];
  return piece?.kind === "sentence" && piece.sentence.id === "PRDW"
    ? piece.sentence.content?.order
    : undefined;
}

test("each act of a person has its form, and no other", () => {
  const verbs = ALL_VERBS.filter((verb) => !NOT_OF_A_PERSON.includes(verb));
  expect(Object.keys(ACT_FORMS).sort()).toEqual([...verbs].sort());
});

test.each(Object.entries(ACT_FORMS))(
  "%s is understood as it is shown, with and without what may be left out",
  (verb, [form]) => {
    expect(orderOf(form.replace(/[[\]]/g, ""))?.verb).toBe(verb);
    expect(orderOf(form.replace(/ \[.*\]/, ""))?.verb).toBe(verb);
    expect(actHelp()).toContain(form);
  },
);

test("a value of two words is one value", () => {
  expect(orderOf("SET watch.margin 25 m")).toMatchObject({ key: "watch.margin", value: "25 m" });
});

test("who errs is told the form, or the verbs there are", () => {
  expect(rightForm("rode")).toBe("write it like: act RODE 35m");
  expect(rightForm("DANCE")).toMatch(/^there are LETGO, RODE,.* SET$/);
});

/** `[[port]]`: one schema a kind. */
import { z } from "zod";
import { address, said } from "./value.ts";
import { shown } from "./wording.ts";

const sendClass = z.enum(["alerts", "anchor", "rode", "acts"]);

/** Fits a TAG block's source (15 characters). */
const NAME = /^[a-z][a-z0-9-]{0,14}$/;
const TALKER = /^[A-Z][A-Z0-9]$/;

const name = (example: string) =>
  z
    .string()
    .regex(NAME, {
      error: ({ input }) => `${shown(input)} found; up to 15 small letters, digits and dashes wanted`,
    })
    .meta(said("yours to choose; lines heard here are known by it", example));

const shared = {
  send: z
    .array(sendClass)
    .default([])
    .meta(said("what goes out here; unset: nothing", ["alerts", "anchor", "rode"])),
  talker: z
    .string()
    .regex(TALKER, { error: ({ input }) => `${shown(input)} found; two capital letters like "II" wanted` })
    .default("II")
    .meta(said("talker of what goes out", "II")),
  checksum: z
    .enum(["required", "optional"])
    .default("required")
    .meta(said('"optional" for instruments too old to send one', "required")),
  acknowledge: z
    .boolean()
    .optional()
    .meta(said("are ACK and ACN from here believed? unset: yes for a serial line and this machine", true)),
  operator: z.boolean().default(false).meta(said("may $PRDW acts be given from here?", false)),
  clock: z
    .enum(["arrival", "tag"])
    .default("arrival")
    .meta(said('"tag" where TAG blocks carry the time (a recorder)', "arrival")),
};

export const port = z.discriminatedUnion("kind", [
  z
    .strictObject({
      name: name("bus"),
      kind: z.literal("serial"),
      device: z.string().min(1).meta(said("its stable name", "/dev/serial/by-id/…")),
      baud: z
        .number()
        .int()
        .min(300)
        .max(921_600)
        .default(4800)
        .meta(said("4800 for NMEA 0183, 38400 for its high speed", 4800)),
      ...shared,
    })
    .meta({ description: "a serial line" }),
  z
    .strictObject({
      name: name("network"),
      kind: z.literal("tcp-client"),
      address: address("where to connect", "192.168.1.20:10110"),
      ...shared,
    })
    .meta({ description: "a connection to a server of sentences" }),
  z
    .strictObject({
      name: name("displays"),
      kind: z.literal("tcp-server"),
      listen: address("where displays connect; 0.0.0.0 for the whole network", "127.0.0.1:10110").prefault(
        "127.0.0.1:10110",
      ),
      ...shared,
    })
    .meta({ description: "a server that displays connect to" }),
  z
    .strictObject({
      name: name("air"),
      kind: z.literal("udp"),
      listen: address("where to hear", "0.0.0.0:2000"),
      address: address("where to send; unset: nowhere", "192.168.1.255:2000").optional(),
      ...shared,
    })
    .meta({ description: "datagrams, each of whole lines" }),
  z
    .strictObject({
      name: name("pipe"),
      kind: z.literal("stdin"),
      ...shared,
      send: z
        .array(sendClass)
        .max(0, "nothing can be sent to standard input; take it out")
        .default([])
        .meta({ description: "nothing can be sent here" }),
    })
    .meta({ description: "standard input: another program's output" }),
]);

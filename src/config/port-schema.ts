/** `[[port]]`: one schema a kind. */
import { z } from "zod";
import { address, said } from "./value.ts";

const sendClass = z.enum(["alerts", "anchor", "rode", "acts"]);

const shared = {
  name: z
    .string()
    .regex(/^[a-z][a-z0-9-]{0,14}$/, "a name is up to 15 small letters, digits and dashes")
    .meta(said("yours to choose", "bus")),
  checksum: z
    .enum(["required", "optional"])
    .default("required")
    .meta(said('"optional" for instruments too old to send one', "required")),
  clock: z
    .enum(["arrival", "tag"])
    .default("arrival")
    .meta(said('"tag": its TAG blocks carry the time (a recorder)', "arrival")),
  talker: z
    .string()
    .regex(/^[A-Z][A-Z0-9]$/, 'a talker is two capital letters like "II"')
    .default("II")
    .meta(said("on what is sent here", "II")),
  operator: z.boolean().default(false).meta(said("may this port give $PRDW acts?", false)),
  acknowledge: z
    .boolean()
    .optional()
    .meta(said("may its ACK and ACN be believed? unset: serial and loopback yes, else no", true)),
  send: z
    .array(sendClass)
    .default([])
    .meta(said("what goes out here", ["alerts", "anchor", "rode"])),
};

export const port = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("serial"),
    ...shared,
    device: z.string().min(1).meta(said("a stable name", "/dev/serial/by-id/…")),
    baud: z
      .number()
      .int()
      .min(300)
      .max(921_600)
      .default(4800)
      .meta(said("4800 for NMEA 0183, 38400 for its high speed", 4800)),
  }),
  z.strictObject({
    kind: z.literal("tcp-client"),
    ...shared,
    address: address("where to connect", "192.168.1.20:10110"),
  }),
  z.strictObject({
    kind: z.literal("tcp-server"),
    ...shared,
    listen: address("where to listen", "127.0.0.1:10110").prefault("127.0.0.1:10110"),
  }),
  z.strictObject({
    kind: z.literal("udp"),
    ...shared,
    listen: address("where to hear", "0.0.0.0:10110"),
    address: address("where to send", "192.168.1.255:10110").optional(),
  }),
  z.strictObject({ kind: z.literal("stdin"), ...shared }),
]);

/** `[[port]]`: one schema a kind. */
import { z } from "zod";
import { address, quantity, said } from "./value.ts";
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

const filter = z.string().regex(/^[A-Z][A-Z0-9]{1,11}$/, {
  error: ({ input }) =>
    `${shown(input)} found; a sentence like "RMC", a talker like "GP" or both like "GPRMC" wanted`,
});

/** What one may leave out of a class that is sent; alarms have no such switch. */
const leavable = z.enum(["BWC", "WPL", "XDR", "TXT"]);

const sending = {
  send: z
    .array(sendClass)
    .default([])
    .meta(said("what goes out here; unset: nothing", ["alerts", "anchor", "rode"])),
  leave_out: z
    .array(leavable)
    .default([])
    .meta({ description: "sentences of these not sent here all the same" }),
  backup: z
    .boolean()
    .default(false)
    .meta(said("alerts only once an alarm has stood unacknowledged for a minute", false)),
  forward_from: z
    .array(z.string())
    .default([])
    .meta({ description: 'ports whose sentences are passed on here, such as "bus"' }),
  forward_only: z
    .array(filter)
    .default([])
    .meta({ description: 'of these only sentences or talkers named, such as "RMC", "SD"; unset: all' }),
  forward_not: z
    .array(filter)
    .default([])
    .meta({ description: 'sentences or talkers not passed on, such as "GSV", "AI"' }),
  decimate: quantity(
    "duration",
    "of one kind passed on no more than one in this time; unset: all",
    "1 s",
  ).optional(),
};

const shared = {
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

const multicast = {
  interface: z
    .string()
    .min(1)
    .optional()
    .meta(said("own address on the network that multicast is for; unset: the system chooses", "192.168.1.5")),
  ttl: z
    .number()
    .int()
    .min(1)
    .max(255)
    .default(1)
    .meta(said("multicast: 1 stays on this network, each router takes one", 1)),
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
      ...sending,
      ...shared,
    })
    .meta({ description: "a serial line" }),
  z
    .strictObject({
      name: name("network"),
      kind: z.literal("tcp-client"),
      address: address("where to connect", "192.168.1.20:10110"),
      ...sending,
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
      announce: z
        .boolean()
        .default(false)
        .meta(said("tell the network of it (DNS-SD), so that displays find it", false)),
      ...sending,
      ...shared,
    })
    .meta({ description: "a server that displays connect to" }),
  z
    .strictObject({
      name: name("air"),
      kind: z.literal("udp"),
      listen: address("where to hear; a multicast address joins its group", "0.0.0.0:2000"),
      address: address("where to send; unset: nowhere", "192.168.1.255:2000").optional(),
      ...multicast,
      ...sending,
      ...shared,
    })
    .meta({ description: "datagrams, each of whole lines" }),
  z
    .strictObject({
      name: name("network-450"),
      kind: z.literal("udp-61162-450"),
      groups: z
        .array(address("a group", "239.192.0.4:60004"))
        .min(1, "is empty; name the groups to hear")
        .prefault(["239.192.0.4:60004"])
        .meta(said("groups heard: 239.192.0.n with port 60000 + n", ["239.192.0.4:60004"])),
      address: address("group sent to; unset: nothing is sent", "239.192.0.17:60017").optional(),
      source: z
        .string()
        .regex(/^[A-Z]{2}\d{4}$/, {
          error: ({ input }) =>
            `${shown(input)} found; two capital letters and four digits like "II0001" wanted`,
        })
        .default("II0001")
        .meta(said("who we are there", "II0001")),
      ...multicast,
      ...sending,
      ...shared,
    })
    .meta({ description: "datagrams after IEC 61162-450" }),
  z
    .strictObject({
      name: name("local"),
      kind: z.literal("unix"),
      path: z.string().min(1).meta(said("the socket's file", "/run/rodeward/bus")),
      ...sending,
      ...shared,
    })
    .meta({ description: "a Unix socket for other programs on this machine" }),
  z
    .strictObject({
      name: name("paper"),
      kind: z.literal("file"),
      path: z.string().min(1).meta(said("a file, or /dev/stdout", "/var/log/rodeward.nmea")),
      ...sending,
      ...shared,
    })
    .meta({ description: "a file that sentences are added to; nothing is heard from it" }),
  z
    .strictObject({
      name: name("pipe"),
      kind: z.literal("stdin"),
      ...shared,
      send: z
        .array(sendClass)
        .refine((list) => list.length === 0, "nothing can be sent to standard input; take it out")
        .default([])
        .meta({ description: "nothing can be sent here", maxItems: 0 }),
    })
    .meta({ description: "standard input: another program's output" }),
]);

/** The PIN of six digits: made, hashed with scrypt, compared. It is kept as hash and salt only. */
import { randomBytes, randomInt, scrypt, timingSafeEqual } from "node:crypto";

export interface PinHash {
  /** Both base64. */
  salt: string;
  hash: string;
}

/** 16 MB and some tens of milliseconds a try: what a small board can spare beside the watch. */
const COST = { N: 2 ** 14, r: 8, p: 1 };
const HASH_BYTES = 32;
const SALT_BYTES = 16;

export function makePin(): string {
  return String(randomInt(0, 1_000_000)).padStart(6, "0");
}

export async function hashPin(pin: string): Promise<PinHash> {
  const salt = randomBytes(SALT_BYTES);
  return { salt: salt.toString("base64"), hash: (await derive(pin, salt)).toString("base64") };
}

export async function isPin(pin: string, kept: PinHash): Promise<boolean> {
  const expected = Buffer.from(kept.hash, "base64");
  const given = await derive(pin, Buffer.from(kept.salt, "base64"));
  return expected.length === given.length && timingSafeEqual(expected, given);
}

function derive(pin: string, salt: Buffer): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(pin, salt, HASH_BYTES, COST, (error, key) => (error ? reject(error) : resolve(key)));
  });
}

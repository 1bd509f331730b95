/** The session cookie. Without `Secure`: a boat's network has no certificates, the page is plain HTTP. */
import { SECOND_MS } from "../units/time.ts";
import { SESSION_MS } from "./pairing.ts";

const NAME = "rodeward_session";

export function sessionCookie(token: string): string {
  return `${NAME}=${token}; Path=/; Max-Age=${SESSION_MS / SECOND_MS}; HttpOnly; SameSite=Strict`;
}

/** The token in a Cookie header. */
export function tokenIn(header: string | undefined): string | undefined {
  for (const part of (header ?? "").split(";")) {
    const [name, value] = part.trim().split("=", 2);
    if (name === NAME && value !== undefined && value !== "") return value;
  }
  return undefined;
}

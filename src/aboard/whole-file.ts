/** Small files of the state directory that are written whole: a power cut leaves the old one or the new one. */
import { open, rename } from "node:fs/promises";
import { dirname } from "node:path";

/** Atomic and durable: file synced before the rename, directory after it. */
export async function writeWhole(file: string, text: string): Promise<void> {
  const next = `${file}.next`;
  const handle = await open(next, "w", 0o600);
  try {
    await handle.writeFile(text);
    await handle.sync();
  } finally {
    await handle.close();
  }
  await rename(next, file);
  const directory = await open(dirname(file), "r");
  try {
    await directory.sync();
  } finally {
    await directory.close();
  }
}

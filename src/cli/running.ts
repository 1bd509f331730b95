/** Is a watch running that keeps its state in this directory? */
import { connect } from "node:net";
import { join } from "node:path";

/** Asks by the socket that the running daemon takes acts at, and says nothing there. False where one may not look. */
export function isWatchRunning(directory: string): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(join(directory, "act.sock"));
    const over = (isThere: boolean) => {
      socket.destroy();
      resolve(isThere);
    };
    socket.on("connect", () => over(true));
    socket.on("error", () => over(false));
  });
}

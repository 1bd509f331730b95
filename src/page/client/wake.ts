/** Keeps the screen on while sound is armed, where the browser may: it asks for a secure address or localhost. */

export interface Wake {
  isHeld(): boolean;
  want(isWanted: boolean): void;
}

export function createWake(changed: () => void): Wake {
  let lock: WakeLockSentinel | undefined;
  let wanted = false;

  async function hold(): Promise<void> {
    if (!wanted || lock !== undefined || !("wakeLock" in navigator) || document.visibilityState !== "visible")
      return;
    try {
      const got = await navigator.wakeLock.request("screen");
      lock = got;
      got.addEventListener("release", () => {
        if (lock === got) lock = undefined;
        changed();
      });
      changed();
    } catch {
      // Low battery or not permitted: told by isHeld.
    }
  }

  document.addEventListener("visibilitychange", () => void hold());
  return {
    isHeld: () => lock !== undefined,
    want(isWanted) {
      wanted = isWanted;
      if (wanted) void hold();
      else void lock?.release();
    },
  };
}

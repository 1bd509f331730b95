/**
 * Opens what may fail at start (a listener whose port another program still holds) and goes on trying: one
 * edge that cannot start must not keep the watch from starting.
 */

export interface Retried<T> {
  /** Undefined while it could not be opened. */
  now(): T | undefined;
  close(): Promise<void>;
}

interface RetriedPlan<T> {
  open: () => Promise<T>;
  /** Is this a failure that may pass? Any other is thrown on. */
  mayPass: (error: unknown) => error is Error;
  /** Told once, at the first failure: one line for a person. */
  failed: (why: string) => void;
  /** Told when it opened after all. */
  opened: (value: T) => void;
}

export const RETRY_MS = 3000;

/** Resolves after the first try, whatever came of it. */
export async function retried<T extends { close(): Promise<void> }>(
  plan: RetriedPlan<T>,
  everyMs: number = RETRY_MS,
): Promise<Retried<T>> {
  let value: T | undefined;
  let closed = false;
  let timer: NodeJS.Timeout | undefined;

  const again = async (): Promise<void> => {
    const opened = await plan.open().catch(() => undefined);
    if (closed) return opened?.close();
    value = opened;
    if (opened === undefined) timer = setTimeout(() => void again(), everyMs);
    else plan.opened(opened);
  };
  try {
    value = await plan.open();
  } catch (error) {
    if (!plan.mayPass(error)) throw error;
    plan.failed(error.message);
    timer = setTimeout(() => void again(), everyMs);
  }
  return {
    now: () => value,
    async close() {
      closed = true;
      clearTimeout(timer);
      await value?.close();
    },
  };
}

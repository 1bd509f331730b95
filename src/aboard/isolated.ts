/** A listener that fails stops only itself, for that once, and is said; nothing may keep an alarm from going out. */
export function isolated<T>(
  name: string,
  log: { error(fields: object, text: string): void },
  listener: (value: T) => unknown,
): (value: T) => void {
  let failures = 0;
  return (value) => {
    try {
      listener(value);
    } catch (error) {
      failures++;
      // Once, then each time the count has doubled: a listener that always fails must not fill the log.
      if ((failures & (failures - 1)) === 0) log.error({ err: error, name, failures }, "a listener failed");
    }
  };
}

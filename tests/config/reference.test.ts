import { expect, test } from "vitest";
import { jsonSchema } from "../../src/config/json-schema.ts";
import { configReference } from "../../src/config/reference.ts";

test("the committed reference is what the schema makes; this test with -u writes it anew", async () => {
  await expect(configReference()).toMatchFileSnapshot("../../config/reference.md");
});

test("every key of every table has a row, with something said of it", () => {
  const text = configReference();
  for (const [name, table] of Object.entries(jsonSchema().properties ?? {}))
    for (const kind of table.items?.oneOf ?? [table.items ?? table])
      for (const [key, node] of Object.entries(kind.properties ?? {}))
        if (node.const === undefined)
          expect(text, `${name}.${key}`).toMatch(new RegExp(`^\\| \`${key}\` \\| [^|]*\\| \\S`, "m"));
});

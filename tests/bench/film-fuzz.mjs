// Damaged films read one after the other: how many, what became of them, the slowest and the memory.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";

const files = 50_000;

export const filmFuzz = async () => {
  console.log(`film, ${files} damaged files`);
  const script = fileURLToPath(new URL("../../packages/radiograph/bench/fuzz.ts", import.meta.url));
  const child = spawn(process.execPath, [script, String(files), "1"], { stdio: "inherit" });
  const [code] = await once(child, "exit");
  if (code !== 0) throw new Error("a damaged film did harm; see above");
};

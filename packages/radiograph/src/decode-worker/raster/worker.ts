import type { ReadLimits } from "../../film/read-result.ts";
import { readRaster } from "../../raster/read-raster.ts";

/** The exit code by which the parent learns that the memory ceiling was met. */
const outOfMemoryCode = 77;

interface Order {
  readonly bytes: Uint8Array;
  readonly limits: ReadLimits;
  readonly memoryMb: number;
}

process.once("message", (order: Order) => {
  // The picture library works in threads of its own, so this one stays free to look at the memory.
  const watch = (): void => {
    if (process.memoryUsage.rss() > order.memoryMb * 2 ** 20) process.exit(outOfMemoryCode);
  };
  watch();
  setInterval(watch, 10);
  void readRaster(order.bytes, order.limits).then((result) => {
    process.send?.(result, () => process.exit(0));
  });
});

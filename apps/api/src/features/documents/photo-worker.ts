import sharp from "sharp";

/** The exit code by which the parent learns that the memory ceiling was met. */
const OUT_OF_MEMORY_CODE = 77;
const WATCH_EVERY_MS = 10;

interface Order {
  readonly bytes: Uint8Array;
  readonly largestPx: number;
  readonly longestSidePx: number;
  readonly memoryMb: number;
}

process.once("message", (order: Order) => {
  // The picture library works in threads of its own, so this one stays free to look at the memory.
  const watch = (): void => {
    if (process.memoryUsage.rss() > order.memoryMb * 2 ** 20) process.exit(OUT_OF_MEMORY_CODE);
  };
  watch();
  setInterval(watch, WATCH_EVERY_MS);
  void sharp(order.bytes, { limitInputPixels: order.largestPx, failOn: "error" })
    .autoOrient()
    .resize({
      width: order.longestSidePx,
      height: order.longestSidePx,
      fit: "inside",
      withoutEnlargement: true,
    })
    .jpeg({ quality: 85 })
    .toBuffer()
    .then(
      (bytes) => process.send?.(new Uint8Array(bytes), () => process.exit(0)),
      () => process.exit(1),
    );
});

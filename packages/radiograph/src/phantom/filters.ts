/** A picture of brightness values, row by row. */
export interface Plane {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly values: Float32Array;
}

const gaussianKernel = (sigmaPx: number): Float32Array => {
  const reach = Math.max(1, Math.ceil(3 * sigmaPx));
  const weights = Float32Array.from({ length: 2 * reach + 1 }, (_, index) =>
    Math.exp(-((index - reach) ** 2) / (2 * sigmaPx * sigmaPx)),
  );
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return weights.map((weight) => weight / sum);
};

const alongRows = ({ widthPx, heightPx, values }: Plane, kernel: Float32Array): Float32Array => {
  const out = new Float32Array(values.length);
  const reach = (kernel.length - 1) / 2;
  const padded = new Float32Array(widthPx + 2 * reach);
  for (let row = 0; row < heightPx; row += 1) {
    const start = row * widthPx;
    padded.fill(values[start]!, 0, reach);
    padded.set(values.subarray(start, start + widthPx), reach);
    padded.fill(values[start + widthPx - 1]!, reach + widthPx);
    for (let x = 0; x < widthPx; x += 1) {
      let sum = 0;
      for (let tap = 0; tap < kernel.length; tap += 1) sum += kernel[tap]! * padded[x + tap]!;
      out[start + x] = sum;
    }
  }
  return out;
};

const alongColumns = ({ widthPx, heightPx, values }: Plane, kernel: Float32Array): Float32Array => {
  const out = new Float32Array(values.length);
  const reach = (kernel.length - 1) / 2;
  for (let row = 0; row < heightPx; row += 1) {
    const target = row * widthPx;
    for (let tap = 0; tap < kernel.length; tap += 1) {
      const source = Math.min(heightPx - 1, Math.max(0, row + tap - reach)) * widthPx;
      const weight = kernel[tap]!;
      for (let x = 0; x < widthPx; x += 1) {
        out[target + x] = out[target + x]! + weight * values[source + x]!;
      }
    }
  }
  return out;
};

/** Gaussian blur; zero or less leaves the plane as it is. */
export const blurred = (plane: Plane, sigmaPx: number): Plane => {
  if (sigmaPx <= 0) return plane;
  const kernel = gaussianKernel(sigmaPx);
  const rows = { ...plane, values: alongRows(plane, kernel) };
  return { ...plane, values: alongColumns(rows, kernel) };
};

const boxRows = ({ widthPx, heightPx, values }: Plane, reach: number): Float32Array => {
  const out = new Float32Array(values.length);
  const scale = 1 / (2 * reach + 1);
  for (let row = 0; row < heightPx; row += 1) {
    const start = row * widthPx;
    const last = start + widthPx - 1;
    let sum = values[start]! * (reach + 1);
    for (let x = 1; x <= reach; x += 1) sum += values[Math.min(last, start + x)]!;
    for (let x = 0; x < widthPx; x += 1) {
      out[start + x] = sum * scale;
      sum +=
        values[Math.min(last, start + x + reach + 1)]! -
        values[Math.max(start, start + x - reach)]!;
    }
  }
  return out;
};

const boxColumns = ({ widthPx, heightPx, values }: Plane, reach: number): Float32Array => {
  const out = new Float32Array(values.length);
  const scale = 1 / (2 * reach + 1);
  const sums = new Float32Array(widthPx);
  const rowAt = (row: number): number => Math.min(heightPx - 1, Math.max(0, row)) * widthPx;
  for (let row = -reach; row <= reach; row += 1) {
    const source = rowAt(row);
    for (let x = 0; x < widthPx; x += 1) sums[x] = sums[x]! + values[source + x]!;
  }
  for (let row = 0; row < heightPx; row += 1) {
    const target = row * widthPx;
    const enters = rowAt(row + reach + 1);
    const leaves = rowAt(row - reach);
    for (let x = 0; x < widthPx; x += 1) {
      out[target + x] = sums[x]! * scale;
      sums[x] = sums[x]! + values[enters + x]! - values[leaves + x]!;
    }
  }
  return out;
};

/** Mean over a square of `2 × reach + 1` pixels, taken twice so that no corner shows. */
export const boxBlurred = (plane: Plane, reach: number): Plane => {
  const once = { ...plane, values: boxColumns({ ...plane, values: boxRows(plane, reach) }, reach) };
  return { ...plane, values: boxColumns({ ...once, values: boxRows(once, reach) }, reach) };
};

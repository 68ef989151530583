/**
 * The day route as the solver sees it: stops 0…size−1, a source and a sink, all times in one unit.
 *
 * The same shape serves both directions: {@link reverseTour} turns every arc round and negates time,
 * so that a label "latest start from which the rest still works" becomes an ordinary "earliest start"
 * and one piece of code computes both.
 */
export interface TourView {
  /** Number of stops. */
  readonly size: number;
  /** Row length of the matrices: stops, then source, then sink. */
  readonly width: number;
  readonly source: number;
  readonly sink: number;
  /** What is minimised: `cost[from * width + to]`. */
  readonly cost: Float64Array;
  /** Time from the start of work at `from` to arrival at `to`; includes the work at `from`. */
  readonly time: Float64Array;
  /** Moments within an arc at which the pause may be taken, counted from the start of the arc. */
  readonly pauseAtLeaving: Float64Array;
  readonly pauseAtArriving: Float64Array;
  /** Window for the start of work. */
  readonly open: Float64Array;
  readonly close: Float64Array;
  /** A pause of `length` that must begin between `from` and `until`. */
  readonly pause: TourPause | undefined;
  /** Start of the day, and start of the day with the pause already behind (Infinity: impossible). */
  readonly sourceTime: number;
  readonly sourcePausedTime: number;
  /** The day may end without a pause if it ends by then (−Infinity: never). */
  readonly sinkUnpausedUntil: number;
  /** 1 where the arc can be part of a feasible tour. */
  readonly allowed: Uint8Array;
  /** `before[i * size + j]` is 1 when stop i must come before stop j. */
  readonly before: Uint8Array;
  /** First and last position (1…size) a stop can take, from the precedences. */
  readonly firstPosition: Int32Array;
  readonly lastPosition: Int32Array;
  /** Stops with the same number are visited one after the other; −1 stands alone. */
  readonly group: Int32Array;
}

export interface TourPause {
  readonly from: number;
  readonly until: number;
  readonly length: number;
}

const transpose = (matrix: Float64Array, width: number): Float64Array => {
  const turned = new Float64Array(matrix.length);
  for (let from = 0; from < width; from++)
    for (let to = 0; to < width; to++) turned[to * width + from] = matrix[from * width + to]!;
  return turned;
};

const transposeFlags = (matrix: Uint8Array, width: number): Uint8Array => {
  const turned = new Uint8Array(matrix.length);
  for (let from = 0; from < width; from++)
    for (let to = 0; to < width; to++) turned[to * width + from] = matrix[from * width + to]!;
  return turned;
};

const negate = (values: Float64Array): Float64Array => values.map((value) => -value);

/** The same tour driven backwards, with time negated. Reversing twice gives the first view again. */
export const reverseTour = (view: TourView): TourView => {
  const { size, width, source, sink, pause } = view;
  const flip = (at: Float64Array): Float64Array =>
    transpose(
      at.map((offset, arc) => view.time[arc]! - offset),
      width,
    );
  return {
    size,
    width,
    source: sink,
    sink: source,
    cost: transpose(view.cost, width),
    time: transpose(view.time, width),
    pauseAtLeaving: flip(view.pauseAtArriving),
    pauseAtArriving: flip(view.pauseAtLeaving),
    open: negate(view.close),
    close: negate(view.open),
    pause:
      pause === undefined
        ? undefined
        : {
            from: -(pause.until + pause.length),
            until: -(pause.from + pause.length),
            length: pause.length,
          },
    sourceTime: -view.close[sink]!,
    sourcePausedTime:
      view.sinkUnpausedUntil === -Infinity
        ? Infinity
        : -Math.min(view.close[sink]!, view.sinkUnpausedUntil),
    sinkUnpausedUntil: -view.sourcePausedTime,
    allowed: transposeFlags(view.allowed, width),
    before: transposeFlags(view.before, size),
    firstPosition: view.lastPosition.map((position) => size + 1 - position),
    lastPosition: view.firstPosition.map((position) => size + 1 - position),
    group: view.group,
  };
};

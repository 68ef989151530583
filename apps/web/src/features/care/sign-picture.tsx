import type { FiveSign } from "@heelward/domain/examination";
import styles from "./care.module.css";

const GROUND = <path className={styles["ground"]} d="M4 66H116" />;

/** A foreleg from the side: forearm, cannon, pastern, hoof; `lift` bends the knee. */
const Leg = ({
  x,
  lean = 0,
  lift = 0,
}: {
  readonly x: number;
  readonly lean?: number;
  readonly lift?: number;
}) => {
  if (lift > 0) {
    const knee = { x: x + 8, y: 36 };
    const fetlock = { x: x - 4 - lift * 3, y: 50 - lift * 5 };
    return (
      <g className={styles["limb"]}>
        <path
          d={`M${String(x)} 8L${String(knee.x)} ${String(knee.y)}L${String(fetlock.x)} ${String(fetlock.y)}`}
        />
        <path
          className={styles["hoof"]}
          d={`M${String(fetlock.x - 2)} ${String(fetlock.y - 3)}l-11 2l-2 8l12 1z`}
        />
      </g>
    );
  }
  return (
    <g className={styles["limb"]}>
      <path d={`M${String(x + lean)} 8L${String(x)} 36L${String(x)} 52L${String(x + 4)} 57`} />
      <path className={styles["hoof"]} d={`M${String(x)} 56h9l5 10h-15z`} />
    </g>
  );
};

const Arrow = ({ d }: { readonly d: string }) => (
  <path className={styles["arrow"]} d={d} markerEnd="url(#care-arrow)" markerStart="" />
);

const Shift = ({ level }: { readonly level: number }) => (
  <>
    {GROUND}
    <Leg x={44} lean={level * 5} />
    <Leg x={72} lean={level * 5} />
    {level === 0 ? null : <Arrow d="M30 22H14" />}
    {level === 0 ? null : <Arrow d="M92 22h16" />}
    {level < 2 ? null : <Arrow d="M30 40H14" />}
    {level < 2 ? null : <Arrow d="M92 40h16" />}
  </>
);

const Lift = ({ level }: { readonly level: number }) => (
  <>
    {GROUND}
    <Leg x={78} />
    <Leg x={44} {...(level < 2 ? { lift: 2 - level } : {})} />
    {level === 2 ? <path className={styles["cross"]} d="M24 26l14 14m0-14l-14 14" /> : null}
  </>
);

const Print = ({
  x,
  y,
  turn = 0,
}: {
  readonly x: number;
  readonly y: number;
  readonly turn?: number;
}) => (
  <path
    className={styles["print"]}
    transform={`translate(${String(x)} ${String(y)}) rotate(${String(turn)})`}
    d="M-6 6C-8-2-5-8 0-8S8-2 6 6L3 4C4-1 3-4 0-4S-4-1-3 4z"
  />
);

const STRIDES = [40, 26, 15, 0];

const Walk = ({ level }: { readonly level: number }) => {
  const stride = STRIDES[level] ?? 0;
  if (stride === 0)
    return (
      <>
        <Print x={52} y={24} turn={90} />
        <Print x={52} y={48} turn={90} />
        <path className={styles["cross"]} d="M76 28l16 16m0-16l-16 16" />
      </>
    );
  const count = level === 0 ? 3 : level === 1 ? 4 : 6;
  return (
    <>
      {Array.from({ length: count }, (_, index) => (
        <Print key={index} x={16 + index * stride} y={index % 2 === 0 ? 24 : 46} turn={90} />
      ))}
    </>
  );
};

const TURNS = [4, 6, 9, 0];

/** Hoof prints along a bend: the tighter they stand, the harder the turn. */
const Turn = ({ level }: { readonly level: number }) => {
  const steps = TURNS[level] ?? 0;
  const at = (share: number) => {
    const angle = Math.PI * (1 - share);
    return {
      x: 60 + 44 * Math.cos(angle),
      y: 62 - 46 * Math.sin(angle),
      turn: 180 * share,
    };
  };
  const bend = <path className={styles["path"]} d="M16 62a44 46 0 0 1 88 0" />;
  if (steps === 0)
    return (
      <>
        {bend}
        <Print {...at(0.06)} />
        <path className={styles["cross"]} d="M52 30l16 16m0-16l-16 16" />
      </>
    );
  return (
    <>
      {level === 0 ? bend : null}
      {Array.from({ length: steps }, (_, index) => {
        const place = at(0.06 + (0.88 * index) / (steps - 1));
        return <Print key={index} x={place.x} y={place.y} turn={place.turn} />;
      })}
    </>
  );
};

const Pulse = ({ level }: { readonly level: number }) => (
  <>
    {GROUND}
    <g className={styles["limb"]}>
      <path d="M52 6v30l-2 10 8 8" />
      <path className={styles["hoof"]} d="M50 52h16l9 14H47z" />
    </g>
    <circle className={styles["touch"]} cx="46" cy="38" r="4" />
    {Array.from({ length: level }, (_, index) => (
      <path
        key={index}
        className={styles["wave"]}
        d={`M${String(38 - index * 8)} ${String(30 - index * 4)}q${String(-6 - index * 2)} 8 0 ${String(16 + index * 8)}`}
      />
    ))}
    {level === 2 ? <path className={styles["wave"]} d="M82 40h7l4-14 6 26 4-12h8" /> : null}
    {level === 1 ? <path className={styles["wave"]} d="M82 40h9l4-7 5 12 3-5h8" /> : null}
    {level === 0 ? <path className={styles["wave"]} d="M82 40h29" /> : null}
  </>
);

const PICTURES = {
  "weight shifting": Shift,
  "lifting a forefoot": Lift,
  walk: Walk,
  "turning in a circle": Turn,
  "digital pulse": Pulse,
};

/** A plain drawing of one sign at one strength; the words stand below it. */
export const SignPicture = ({
  sign,
  level,
}: {
  readonly sign: FiveSign;
  readonly level: number;
}) => {
  const Picture = PICTURES[sign];
  return (
    <svg className={styles["picture"]} viewBox="0 0 120 72" aria-hidden>
      <defs>
        <marker
          id="care-arrow"
          viewBox="0 0 8 8"
          refX="6"
          refY="4"
          markerWidth="3.2"
          markerHeight="3.2"
          orient="auto"
        >
          <path className={styles["arrowHead"]} d="M0 0l8 4-8 4z" />
        </marker>
      </defs>
      <Picture level={level} />
    </svg>
  );
};

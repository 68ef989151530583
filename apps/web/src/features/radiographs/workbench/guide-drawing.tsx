import type { FilmView } from "@heelward/domain/geometry";
import { FootLateral } from "../../../components/foot-lateral.tsx";
import { DORSOPALMAR_PLACES, LATEROMEDIAL_PLACES } from "./guide-places.ts";
import styles from "./guide.module.css";

const FrontView = () => (
  <svg viewBox="0 0 300 220" className={styles["front"]} aria-hidden>
    <path className={styles["horn"]} d="M95 80C75 110 62 150 52 190H248C238 150 225 110 205 80Z" />
    <path className={styles["skin"]} d="M95 80C108 60 112 30 112 8H188C188 30 192 60 205 80Z" />
    <path
      className={styles["bone"]}
      d="M116 92L124 20H176L184 92C170 100 158 88 150 94C142 88 130 100 116 92Z"
    />
    <path
      className={styles["bone"]}
      d="M112 100C128 110 142 96 150 102C158 96 172 110 188 100L210 158C186 168 114 168 90 158Z"
    />
    <circle className={styles["hole"]} cx="132" cy="142" r="5" />
    <circle className={styles["hole"]} cx="168" cy="142" r="5" />
    <line className={styles["ground"]} x1="20" x2="280" y1="190" y2="190" />
  </svg>
);

/** A drawing of the foot with the point marked that is to be placed. */
export const GuideDrawing = ({
  view,
  landmark,
}: {
  readonly view: FilmView;
  readonly landmark: string;
}) => {
  const place = (view === "lateromedial" ? LATEROMEDIAL_PLACES : DORSOPALMAR_PLACES)[landmark];
  return (
    <div className={styles["drawing"]} aria-hidden>
      {view === "lateromedial" ? <FootLateral withWords={false} /> : <FrontView />}
      {place === undefined ? null : (
        <svg viewBox="0 0 300 220" className={styles["mark"]}>
          <circle className={styles["ring"]} cx={place[0]} cy={place[1]} r="11" />
          <path
            className={styles["cross"]}
            d={`M${String(place[0] - 18)} ${String(place[1])}h36M${String(place[0])} ${String(place[1] - 18)}v36`}
          />
          <circle className={styles["dot"]} cx={place[0]} cy={place[1]} r="3.500" />
        </svg>
      )}
    </div>
  );
};

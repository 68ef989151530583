import type { RadiographView } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../api/client.ts";
import styles from "./film-list.module.css";

/** The small picture of a film with its side written on it. */
export const FilmPicture = ({ film }: { readonly film: RadiographView }) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const foot = t(`common:foot.${film.foot}`);
  return (
    <span className={styles["picture"]}>
      <img
        src={addressOf("readFilmPreview", { params: { radiographId: film.id } })}
        alt={t("pictureOf", { foot, view: t(`view.${film.view}`) })}
        loading="lazy"
      />
      <b aria-hidden>{film.foot}</b>
    </span>
  );
};

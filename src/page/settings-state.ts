/** Settings as outsiders see them: the answer of `GET /api/settings`. Types only: the browser imports them too. */

export interface SettingLine {
  /** Its path in the configuration, `watch.margin`. */
  key: string;
  /** What the schema says of it. */
  says: string;
  /** As the file would hold it, without quotes; null: not set. */
  value: string | null;
  /** What the file says, or its default; null: not set. */
  filed: string | null;
  /** How it is set in use; null: in the file only. */
  edit: SettingEdit | null;
}

export interface SettingEdit {
  /** One of these; empty: a text like the example. */
  choices: readonly string[];
  example: string;
  /** May be left unset, by the word `none`. */
  mayUnset: boolean;
}

export interface SettingsState {
  settings: SettingLine[];
  /** Where everything else is changed; null: no file was given. */
  file: string | null;
}

/** Shapes the study screen is sent. PLACEHOLDER: its owner fills it in first. */
export interface SavedStudy {
  readonly placeholder: true;
}
export interface StudyModel {
  readonly placeholder: true;
}

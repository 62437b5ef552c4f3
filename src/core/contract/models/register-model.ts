/** Shapes the register screen is sent. PLACEHOLDER: its owner fills it in first. */
export interface EditPreview {
  readonly placeholder: true;
}
export interface JointModel {
  readonly placeholder: true;
}
export interface RegisterModel {
  readonly placeholder: true;
}
export interface ToolModel {
  readonly placeholder: true;
}

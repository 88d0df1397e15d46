/** The repair reasons that call for a calibration, in the order in which the new-job page asks for them. */
export const REASONS = [
  "windscreen-replaced",
  "camera-replaced",
  "radar-replaced",
  "mirror-replaced",
  "bumper-refitted",
  "wheel-alignment-adjusted",
  "ride-height-changed",
  "collision-repair",
  "airbag-deployed",
  "control-unit-replaced",
  "battery-disconnected",
  "trouble-code-stored",
  "wheel-size-changed",
];

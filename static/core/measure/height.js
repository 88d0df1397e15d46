/**
 * The stand's scale setting for a target's height.
 *
 * A target's centre is specified above the plane of the four tyre contact points, but a stand's scale starts at the floor
 * under the stand. Where the floor lies lower than that plane, the scale is set that much higher.
 */

import { BadInput } from "../errors.js";
import { fitPlane, heightMm, leverage } from "./floor.js";
import { combined } from "./instruments.js";

/** @import { FloorPoint, Spot, SpotHeight } from "./floor.js" */

export const CONTACTS = 4;

/**
 * The scale setting that puts the target's centre so far above the contact plane, how much of it makes up for the floor
 * (positive: the floor falls away), and how sure that is. Throws BadInput unless there are four contacts that do not lie
 * on one line.
 * @param {number} centreHeightMm @param {FloorPoint[]} contacts @param {Spot} spot
 * @param {SpotHeight} floor @param {number} uMm
 */
export function standHeight(centreHeightMm, contacts, spot, floor, uMm) {
  if (contacts.length !== CONTACTS) {
    const message = `contacts has ${contacts.length} readings, but a vehicle stands on 4`;
    throw new BadInput("four-contacts", "contacts", message);
  }
  const plane = fitPlane(contacts);
  const fall_mm = heightMm(plane, spot.x_mm, spot.y_mm) - floor.height_mm;
  const uPlaneMm = uMm * Math.sqrt(leverage(plane, spot.x_mm, spot.y_mm));
  return { scale_mm: centreHeightMm + fall_mm, fall_mm, u_mm: combined([uPlaneMm, floor.u_mm]) };
}

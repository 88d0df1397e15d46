/*
 * What a job's page does beside the page itself, for hands and eyes that are busy. One file for all: a request of its own
 * costs each of them as much as it weighs.
 */

import "../senses/aloud.js";
import "../senses/awake.js";
import "../senses/signals.js";

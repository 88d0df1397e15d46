// What tests/cases/vouching.json asks, put to the phone's rules; the digest is the phone's to make.
import { createHash } from "node:crypto";
import { fold } from "../../static/core/fold.js";
import { needAsked, standing } from "../../static/core/standing.js";
import { unheard, unproven } from "../../static/core/vouched.js";
import { answerSaid, askText, keyFor, readAnswer, readAsk } from "../../static/core/vouching.js";

const digest = (text) => createHash("sha256").update(text).digest("base64url");

const ASKED = {
  "write-ask": ({ ask }) => askText(ask),
  "read-ask": ({ text }) => readAsk(text),
  "write-answer": ({ answer }) => answerSaid(answer),
  "read-answer": ({ text }) => readAnswer(text),
  key: ({ answer, asked, device, phones }) => keyFor(answer, asked, device, phones),
  asked: ({ ask, sheet, events }) => {
    const state = fold(sheet, events);
    return needAsked(ask, sheet, state, digest(standing(sheet, state, state.current)));
  },
};

/** What is said of these things beside the last event. */
export function vouchedWith({ sheet, events, beside }) {
  const [state, found] = [fold(sheet, events), beside.map((what) => ({ what, event: events.at(-1) }))];
  return [unproven(state, found), unheard(state, found)];
}

export const vouchingCase = (given) => ASKED[given.do](given);

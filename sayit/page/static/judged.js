// What a parent says of a number, in the same words at the desk and in the drawer.

const NUMBERS = new Intl.NumberFormat("en-GB");

export const JUDGED = { right: "right", wrong: "not right", skip: "does not count" };

export const judged = (choice, { value }) => `${NUMBERS.format(value)}: ${JUDGED[choice]}`;

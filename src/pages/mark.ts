// The icon of the pages: a sensor's trace crossing its middle line. assets.ts serves it.

export const markSvg =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" rx="5" fill="#123b42"/>' +
  '<path d="M3 16h26" stroke="#8fb8b5" stroke-width="1.5" stroke-dasharray="3 2"/>' +
  '<path d="M3 23C6 23 6 9 10 9s4 14 8 14 4-14 8-14 3 5 3 7" fill="none" stroke="#f2a03d" stroke-width="3" stroke-linecap="round"/></svg>';

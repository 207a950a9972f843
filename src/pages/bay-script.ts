// The bay's script, as text for the browser: the arrow keys go through a list of posts while one of them has the focus, Ctrl and
// Enter sends the form in which one writes. Every page works without it. assets.ts serves it.

export const bayScript = `'use strict';
(() => {
  const posts = [...document.querySelectorAll('a.post')];
  const steps = { ArrowDown: 1, ArrowUp: -1, Home: -posts.length, End: posts.length };
  document.addEventListener('keydown', (key) => {
    if (key.altKey || key.shiftKey || key.isComposing) return;
    const at = posts.indexOf(document.activeElement);
    if (at >= 0 && !key.ctrlKey && !key.metaKey && Object.hasOwn(steps, key.key)) {
      key.preventDefault();
      posts[Math.min(posts.length - 1, Math.max(0, at + steps[key.key]))].focus();
    }
    const field = document.activeElement;
    if (field instanceof HTMLTextAreaElement && key.key === 'Enter' && (key.ctrlKey || key.metaKey) && field.form) {
      key.preventDefault();
      field.form.requestSubmit();
    }
  });
})();
`;

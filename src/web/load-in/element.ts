type Child = Node | string | null | false;

/** An element with attributes, listeners and children: all that this page needs of a framework. */
export function element<K extends keyof HTMLElementTagNameMap>(
  name: K,
  attributes: Record<string, string | boolean | ((event: Event) => void)>,
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === 'function') made.addEventListener(key, value);
    else if (value === true) made.setAttribute(key, '');
    else if (value !== false) made.setAttribute(key, value);
  }
  made.append(...children.filter((child) => child !== null && child !== false));
  return made;
}

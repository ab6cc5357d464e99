/** First stop of the keyboard on every page; `#main` is the `<main>` of the shells. */
export function SkipLink() {
  return (
    <a className="skip-link" href="#main">
      Skip to the page
    </a>
  )
}

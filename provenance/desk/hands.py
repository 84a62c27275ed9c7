"""The hands of the desk: one door for everything that the desk does or lists, in plain dicts.

In: an address, and what the browser sent (JSON) or asked for (query). Out: a dict of texts, numbers,
lists and dicts alone, for templates and JSON. `Hands(folder, today, studio, only_look=...)`;
`studio()` is the studio as it is kept up to date by the desk. Every text is in the maker's words.

Slips come out as Slips: the server answers 400 with `refusal(slip, phrases)`: {"what", "remedy",
"place", "href"}; 409 where `is_stale(slip)`. With `only_look` every hand refuses.

A link into a record is `href`: "/at/PATH?line=12" (PATH relative to the record folder), "" for none.

POST (`hands.do(address, sent)`):
  /begin {"what": "piece"|"bath"|"commission"|"show", "like": "", "title": "", "kind": ""}
      -> {"path", "href", "next": words, "remarks": [words of what runs short]}
  /photos {"number", "name", "data": base64}
      -> {"path": "photos/2026-014-img-2041.heic", "number", "is_double": bool, "told": [words],
          "width", "height", "is_named": whether the record names it already, "alt": its words there}
  /alt {"path": "photos/...", "number", "words", "view": ""|"whole"|"detail"...}
      -> {"told", "changes", "path"}       done at once; `undo` takes it back
  /deed {"words": ["sell", "2026-014", "480", "--at", "dale-fair"]}, /undo {}
      -> {"told": [words], "changes": [{"place": "pieces/x.yaml:12", "href", "gone": [lines],
          "new": [lines]}], "mark": "..."}       mark "" where nothing changes
  /deed/do {"mark"} -> {"told": [words], "paths": [files it changed]}
`/run` (`hands.run(sent)`) {"what": "build"|"publish", "only_tell": bool, "yes": bool, "mark": ""}
  yields dicts, one a line of the stream: {"line": text, "is_wrong": bool} and at the end
  {"done": exit code, "words": what came of it, "asks": question or "", "mark": ...}. Where it asks,
  the same is sent again with "yes": true. Publishing tells first: "only_tell": true ends with a mark,
  which the publishing itself must bring.

GET (`hands.seen(address, query)`):
  / -> {"title", "day", "studio", "counts": {"mistakes", "remarks", "things"}, "groups": [{"name",
        "title", "things": [{"words", "remedy", "place", "href", "command": words after provenance,
        "deed": [words for /deed] or []}]}]}     groups: mend, sell, papers, pieces, shelf, dates, keep
  /pieces?state=&words= -> LIST of {"number", "title", "kind", "state", "state_words", "finished",
        "size", "at", "price", "photo": name in photos/ or "", "photos", "wants": [words], "is_draft"}
  /dyebook?words= -> LIST of {"name", "on", "dyes": [words], "lots": [{"name", "title", "colour":
        "#rrggbb" or "", "left", "whole", "in": [numbers]}]}
  /shelf?state=fleece|yarn|...&words= -> LIST of {"name", "title", "shelf", "shelf_words", "left",
        "whole", "lost", "is_low", "share": left of whole in hundredths, "least"}
  /commissions?state= -> LIST of {"number", "title", "client", "state", "state_words", "asked",
        "until", "sizes", "like", "price", "piece", "piece_href"}
  /shows -> LIST of {"name", "title", "place", "days", "state": "coming"|"now"|"past"|"undated",
        "state_words", "works": [numbers]}
  /studio -> LIST of {"name", "title", "records", "mistakes"}       files of studio/ and pages/
  LIST = {"name", "title", "shown", "of", "state", "words", "states": [{"name", "title", "count",
        "is_chosen"}], "items": [...], "begin": "piece"|"bath"|"commission"|"show"|"",
        "empty": words where nothing is shown}; every item also has "href" and "wrong": mistakes in
        its file.
"""

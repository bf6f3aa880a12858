package org.tarebook.http;

import io.swagger.v3.oas.annotations.Hidden;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RestController;
import org.springframework.web.util.HtmlUtils;

/** What each problem means, for a person who follows the link in its {@code type}. */
@Hidden
@RestController
class ProblemPages {

  @GetMapping(path = "/problems", produces = MediaType.TEXT_HTML_VALUE)
  String all() {
    StringBuilder list = new StringBuilder("<h1>Problems and how to mend them</h1><dl>");
    for (ProblemType type : ProblemType.values()) {
      list.append("<dt><a href=\"")
          .append(type.path())
          .append("\">")
          .append(HtmlUtils.htmlEscape(type.title()))
          .append("</a> (")
          .append(type.status().value())
          .append(")</dt><dd>")
          .append(HtmlUtils.htmlEscape(type.help()))
          .append("</dd>");
    }
    return page("Problems", list.append("</dl>").toString());
  }

  @GetMapping(path = "/problems/{slug}", produces = MediaType.TEXT_HTML_VALUE)
  String one(@PathVariable String slug) {
    ProblemType type =
        ProblemType.ofSlug(slug).orElseThrow(() -> Problem.notFound("kind of problem", slug));
    return page(
        type.title(),
        "<h1>"
            + HtmlUtils.htmlEscape(type.title())
            + "</h1><p>Answered with status "
            + type.status().value()
            + ".</p><p>"
            + HtmlUtils.htmlEscape(type.help())
            + "</p><p><a href=\"/problems\">All problems</a></p>");
  }

  private static String page(String title, String body) {
    return "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>"
        + HtmlUtils.htmlEscape(title)
        + "</title><style>body{font:16px/1.5 sans-serif;max-width:44em;margin:2em auto;"
        + "padding:0 1em}dd{margin:0 0 1em}</style></head><body>"
        + body
        + "</body></html>";
  }
}

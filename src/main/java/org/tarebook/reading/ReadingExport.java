package org.tarebook.reading;

import jakarta.servlet.http.HttpServletResponse;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.http.CsvForm;
import tools.jackson.databind.json.JsonMapper;

/** Writes all readings that a query finds as a stream, in constant memory, a page at a time. */
@Component
class ReadingExport {

  private static final int PAGE = 1000;

  private record Column(String name, Function<ReadingView, @Nullable Object> value) {}

  private static final List<Column> COLUMNS =
      List.of(
          new Column("id", ReadingView::id),
          new Column("key", ReadingView::key),
          new Column("station", ReadingView::station),
          new Column("line", ReadingView::line),
          new Column("instrument", ReadingView::instrument),
          new Column("characteristic", ReadingView::characteristic),
          new Column("component", ReadingView::component),
          new Column("product", ReadingView::product),
          new Column("chart", ReadingView::chart),
          new Column("value", view -> view.value() == null ? null : view.value().toPlainString()),
          new Column("censored", ReadingView::censored),
          new Column("unit", ReadingView::unit),
          new Column("measuredAt", ReadingView::measuredAt),
          new Column("recordedAt", ReadingView::recordedAt),
          new Column("phase", ReadingView::phase),
          new Column("die", ReadingView::die),
          new Column("lot", ReadingView::lot),
          new Column("sample", ReadingView::sample),
          new Column("operator", ReadingView::operator),
          new Column("counter", ReadingView::counter),
          new Column("item", ReadingView::item),
          new Column("truck", ReadingView::truck),
          new Column("leaf", ReadingView::leaf),
          new Column(
              "flags",
              view -> view.flags().stream().map(Enum::name).collect(Collectors.joining(" "))),
          new Column("result", ReadingView::result),
          new Column("direction", ReadingView::direction),
          new Column("notJudged", ReadingView::notJudged),
          new Column(
              "specificationRevision",
              view -> view.specification() == null ? null : view.specification().revision()),
          new Column(
              "margin", view -> view.margin() == null ? null : view.margin().toPlainString()),
          new Column(
              "marginUnit",
              view -> view.specification() == null ? null : view.specification().unit()),
          new Column(
              "guardBand",
              view -> view.guard() == null ? null : view.guard().guardBand().toPlainString()),
          new Column(
              "uncertainty", view -> view.guard() == null ? null : view.guard().uncertainty()),
          new Column("standing", ReadingView::standing),
          new Column("remeasures", ReadingView::remeasures),
          new Column("postedBy", ReadingView::postedBy));

  private final SearchStore search;
  private final ReadingViews views;
  private final Plans plans;
  private final JsonMapper json;

  ReadingExport(SearchStore search, ReadingViews views, Plans plans, JsonMapper json) {
    this.search = search;
    this.views = views;
    this.plans = plans;
    this.json = json;
  }

  void ndjson(ReadingQuery query, HttpServletResponse response) throws IOException {
    response.setContentType("application/x-ndjson");
    Writer out = writer(response);
    everyPage(
        query,
        view -> {
          out.write(json.writeValueAsString(view));
          out.write('\n');
        });
    out.flush();
  }

  void csv(ReadingQuery query, HttpServletResponse response) throws IOException {
    response.setContentType("text/csv;charset=UTF-8");
    Writer out = writer(response);
    out.write(CsvForm.line(COLUMNS.stream().map(Column::name).toList()) + "\r\n");
    everyPage(
        query,
        view ->
            out.write(
                CsvForm.line(
                        COLUMNS.stream()
                            .map(column -> Objects.toString(column.value().apply(view), ""))
                            .map(CsvForm::safe)
                            .toList())
                    + "\r\n"));
    out.flush();
  }

  private interface Sink {
    void accept(ReadingView view) throws IOException;
  }

  private void everyPage(ReadingQuery query, Sink sink) throws IOException {
    Plan plan = plans.current();
    SearchStore.Place after = null;
    while (true) {
      List<Reading> page = search.page(plan, query, after, PAGE);
      for (ReadingView view : views.of(plan, page)) {
        sink.accept(view);
      }
      if (page.size() < PAGE) {
        return;
      }
      Reading last = page.get(page.size() - 1);
      after = new SearchStore.Place(last.event().measuredAt(), last.id());
    }
  }

  /** Not closed where a page fails: what was not sent yet must not look like a whole answer. */
  private static Writer writer(HttpServletResponse response) throws IOException {
    return new BufferedWriter(
        new OutputStreamWriter(response.getOutputStream(), StandardCharsets.UTF_8), 65_536);
  }
}

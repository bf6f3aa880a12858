package org.tarebook.http;

import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import org.apache.catalina.connector.Request;
import org.apache.catalina.connector.Response;
import org.apache.catalina.valves.ErrorReportValve;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.http.MediaType;
import tools.jackson.databind.json.JsonMapper;

/**
 * Answers what the server refuses before any part of the service sees it, such as an address with a
 * bare bracket, as a problem document. The server makes the instance itself.
 */
public final class UnreadableRequests extends ErrorReportValve {

  private static final String NOT_HTTP =
      "The method, the address or a header is not written as HTTP wants it, or too long. Encode"
          + " what is not a letter or digit; encoded slashes and backslashes are not taken.";

  private static final String NOT_EXPECTED =
      "The header Expect can only be 100-continue here; leave it out. This connection is closed.";

  private final JsonMapper json = new JsonConfiguration().jsonMapper();

  private static String detail(int status, ProblemType type) {
    return status == HttpServletResponse.SC_EXPECTATION_FAILED
        ? NOT_EXPECTED
        : type == ProblemType.INVALID_REQUEST ? NOT_HTTP : type.help();
  }

  @Override
  protected void report(Request request, Response response, @Nullable Throwable failure) {
    int given = response.getStatus();
    if (given < 400 || response.getContentWritten() > 0 || !response.setErrorReported()) {
      return;
    }
    ProblemType type = ProblemType.ofStatus(given);
    int status = given < 500 ? given : type.status().value();
    response.setStatus(status);
    Problem problem = new Problem(type, detail(given, type));
    if (given == HttpServletResponse.SC_EXPECTATION_FAILED) {
      response.setHeader(HttpHeaders.CONNECTION, "close"); // the server closes it without saying so
    }
    response.setContentType(MediaType.APPLICATION_PROBLEM_JSON_VALUE);
    response.setCharacterEncoding(StandardCharsets.UTF_8.name());
    try {
      Writer writer = response.getReporter();
      if (writer != null) {
        writer.write(json.writeValueAsString(problem.toDocument(status)));
        response.finishResponse();
      }
    } catch (IOException gone) {
      container.getLogger().debug("Whoever asked is gone", gone);
    }
  }
}

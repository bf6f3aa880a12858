package org.tarebook.http;

import jakarta.servlet.http.HttpServletRequest;
import java.util.Collections;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.web.context.request.RequestContextHolder;
import org.springframework.web.context.request.ServletRequestAttributes;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.databind.DeserializationContext;
import tools.jackson.databind.deser.std.StdDeserializer;
import tools.jackson.databind.exc.MismatchedInputException;

/**
 * Reads the key of a fact from the body or, where the body has none, from the header {@value
 * #HEADER} of a request that is one fact. Where both are there they must be the same.
 */
final class KeyReader extends StdDeserializer<String> {

  private static final Pattern FORM = Pattern.compile("\"([^\"]+)\"|([^\"]+)");

  /** The header that may bear the key, in quotes or without. */
  static final String HEADER = "Idempotency-Key";

  KeyReader() {
    super(String.class);
  }

  @Override
  public String deserialize(JsonParser parser, DeserializationContext context) {
    if (parser.currentToken() != JsonToken.VALUE_STRING) {
      throw MismatchedInputException.from(parser, String.class, "must be text in quotes");
    }
    String key = parser.getString();
    String sent = sent();
    if (sent != null && !sent.equals(key)) {
      throw MismatchedInputException.from(
          parser,
          String.class,
          "is not the key that the header " + HEADER + " has; send one of them");
    }
    return key;
  }

  @Override
  public @Nullable Object getAbsentValue(DeserializationContext context) {
    return sent();
  }

  private static @Nullable String sent() {
    HttpServletRequest request =
        RequestContextHolder.getRequestAttributes() instanceof ServletRequestAttributes attributes
            ? attributes.getRequest()
            : null;
    if (request == null || !isOneFact(request)) {
      return null;
    }
    return read(request);
  }

  /**
   * The key that the header has, without its quotes; absent where there is none.
   *
   * @throws Problem where it is there twice, or is no key in quotes or without any
   */
  static @Nullable String read(HttpServletRequest request) {
    List<String> sent = Collections.list(request.getHeaders(HEADER));
    if (sent.isEmpty()) {
      return null;
    }
    Matcher form = FORM.matcher(sent.get(0));
    if (sent.size() > 1 || !form.matches()) {
      throw Problem.at(
          ProblemType.INVALID_REQUEST,
          HEADER,
          "must be sent once and be the key, in quotes or without any");
    }
    return form.group(1) == null ? form.group(2) : form.group(1);
  }

  /** Lines of a stream each have a key of their own. */
  private static boolean isOneFact(HttpServletRequest request) {
    String form = request.getContentType();
    return form != null
        && MediaType.APPLICATION_JSON.isCompatibleWith(MediaType.parseMediaType(form));
  }
}

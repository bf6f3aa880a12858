package org.tarebook.http;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import org.springframework.http.HttpHeaders;
import org.springframework.http.InvalidMediaTypeException;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.method.HandlerMethod;
import org.springframework.web.servlet.HandlerInterceptor;
import org.springframework.web.servlet.HandlerMapping;
import org.tarebook.quantity.Quoted;

/**
 * Holds what a request says of the form of its body and of its key, and which form of answer it
 * takes, before anything is done: what is refused for its form has stored nothing.
 */
class Forms implements HandlerInterceptor {

  private static final Set<String> WRITING = Set.of("POST", "PUT", "PATCH", "DELETE");

  @Override
  public boolean preHandle(
      HttpServletRequest request, HttpServletResponse response, Object handler) {
    String form = request.getContentType();
    if (form != null && form.indexOf('*') >= 0) {
      throw new Problem(
          ProblemType.UNSUPPORTED_MEDIA_TYPE,
          "Content-Type must name one form of body, for example application/json.");
    }
    if (handler instanceof HandlerMethod method
        && method.getBeanType().getName().startsWith("org.tarebook.")
        && WRITING.contains(request.getMethod())) {
      requirePlain(request, method);
      requireTaken(request);
      KeyReader.read(request); // a key that cannot be read is refused here
    }
    return true;
  }

  /** The body is as it is, unless the method looks at its encoding itself. */
  private static void requirePlain(HttpServletRequest request, HandlerMethod method) {
    boolean unpacks =
        Arrays.stream(method.getMethodParameters())
            .map(parameter -> parameter.getParameterAnnotation(RequestHeader.class))
            .anyMatch(
                header -> header != null && header.name().equals(HttpHeaders.CONTENT_ENCODING));
    for (String encoding : Collections.list(request.getHeaders(HttpHeaders.CONTENT_ENCODING))) {
      if (!unpacks && !encoding.strip().equalsIgnoreCase("identity")) {
        throw new Problem(
            ProblemType.UNSUPPORTED_MEDIA_TYPE,
            "Content-Encoding "
                + Quoted.of(encoding)
                + " is not taken here; send the body as it is, without this header.");
      }
    }
  }

  private static void requireTaken(HttpServletRequest request) {
    Collection<MediaType> given = given(request);
    List<String> headers = Collections.list(request.getHeaders(HttpHeaders.ACCEPT));
    if (!headers.isEmpty() && given.stream().noneMatch(each -> takes(headers, each))) {
      throw new Problem(
          ProblemType.NOT_ACCEPTABLE,
          "Accept takes no form that this address answers with; nothing was done. Accept "
              + String.join(" or ", given.stream().map(MediaType::toString).toList())
              + ".");
    }
  }

  @SuppressWarnings("unchecked")
  private static Collection<MediaType> given(HttpServletRequest request) {
    Collection<MediaType> named =
        (Collection<MediaType>)
            request.getAttribute(HandlerMapping.PRODUCIBLE_MEDIA_TYPES_ATTRIBUTE);
    return named != null && !named.isEmpty() ? named : List.of(MediaType.APPLICATION_JSON);
  }

  /** Whether the most exact range that a form lies in has a weight above nought. */
  private static boolean takes(List<String> headers, MediaType form) {
    try {
      return MediaType.parseMediaTypes(headers).stream()
          .filter(range -> range.isCompatibleWith(form))
          .min(Comparator.comparingInt(Forms::wildcards))
          .filter(range -> range.getQualityValue() > 0)
          .isPresent();
    } catch (InvalidMediaTypeException unreadable) {
      return false;
    }
  }

  private static int wildcards(MediaType range) {
    return range.isWildcardType() ? 2 : range.isWildcardSubtype() ? 1 : 0;
  }
}

package org.tarebook.http;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.apache.catalina.connector.ClientAbortException;
import org.apache.coyote.BadRequestException;
import org.apache.tomcat.util.http.InvalidParameterException;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.core.annotation.AnnotatedElementUtils;
import org.springframework.core.convert.ConversionFailedException;
import org.springframework.http.HttpHeaders;
import org.springframework.http.HttpStatusCode;
import org.springframework.http.MediaType;
import org.springframework.http.ProblemDetail;
import org.springframework.http.ResponseEntity;
import org.springframework.http.converter.HttpMessageNotReadableException;
import org.springframework.validation.FieldError;
import org.springframework.validation.method.ParameterErrors;
import org.springframework.validation.method.ParameterValidationResult;
import org.springframework.web.HttpRequestMethodNotSupportedException;
import org.springframework.web.bind.MethodArgumentNotValidException;
import org.springframework.web.bind.MissingServletRequestParameterException;
import org.springframework.web.bind.annotation.ExceptionHandler;
import org.springframework.web.bind.annotation.ResponseStatus;
import org.springframework.web.bind.annotation.RestControllerAdvice;
import org.springframework.web.context.request.ServletWebRequest;
import org.springframework.web.context.request.WebRequest;
import org.springframework.web.method.annotation.HandlerMethodValidationException;
import org.springframework.web.method.annotation.MethodArgumentTypeMismatchException;
import org.springframework.web.servlet.mvc.method.annotation.ResponseEntityExceptionHandler;
import org.tarebook.quantity.Quoted;
import org.tarebook.storage.DatabaseFailure;
import org.tarebook.storage.Deadline;
import org.tarebook.storage.Outages;

/**
 * Turns whatever a request runs into into a problem document that says what, where and how to mend
 * it.
 */
@RestControllerAdvice
class ProblemAdvice extends ResponseEntityExceptionHandler {

  private static final Logger log = LoggerFactory.getLogger(ProblemAdvice.class);

  private final Outages outages;
  private final AnsweredMethods answered;

  ProblemAdvice(Outages outages, AnsweredMethods answered) {
    this.outages = outages;
    this.answered = answered;
  }

  @ExceptionHandler
  ResponseEntity<ProblemDetail> refused(Problem problem) {
    HttpHeaders headers = new HttpHeaders();
    if (problem.type() == ProblemType.UNAVAILABLE) {
      headers.set(HttpHeaders.RETRY_AFTER, "5");
    }
    return answer(problem, headers);
  }

  @ExceptionHandler
  ResponseEntity<ProblemDetail> tookTooLong(Deadline.Passed passed, HttpServletResponse response) {
    if (response.isCommitted()) {
      throw passed; // the server cuts the connection, so that no half an answer looks whole
    }
    response.reset();
    return answer(
        new Problem(
            ProblemType.TOOK_TOO_LONG,
            "The study was ended after %d s. Ask for a shorter window, or for one line or chart."
                .formatted(passed.longest().toSeconds())),
        HttpHeaders.EMPTY);
  }

  /** The server gives its own message about a query or form that it cannot take apart. */
  @ExceptionHandler
  ResponseEntity<ProblemDetail> unreadableParameters(InvalidParameterException malformed) {
    return answer(
        malformed.getErrorCode() == ProblemType.TOO_LARGE.status().value()
            ? new Problem(ProblemType.TOO_LARGE, "Forms are not taken here; send JSON.")
            : new Problem(
                ProblemType.INVALID_REQUEST,
                "The query is malformed: write name=value pairs with & between them, in UTF-8,"
                    + " and encode other characters with a percent sign and two hex digits."),
        HttpHeaders.EMPTY);
  }

  @ExceptionHandler
  @Nullable ResponseEntity<ProblemDetail> fault(
      Exception failure, HttpServletRequest request, HttpServletResponse response)
      throws Exception {
    if (AnnotatedElementUtils.hasAnnotation(failure.getClass(), ResponseStatus.class)
        || failure instanceof org.springframework.security.core.AuthenticationException
        || failure instanceof org.springframework.security.access.AccessDeniedException
        || failure instanceof org.springframework.security.web.firewall.RequestRejectedException
        || clientIsGone(failure)) {
      throw failure;
    }
    Optional<DatabaseFailure> database = outages.note(failure);
    if (database.isPresent()) {
      if (response.isCommitted()) {
        throw failure; // the server cuts the connection, so that no half an answer looks whole
      }
      response.reset();
      return refused(new Problem(ProblemType.UNAVAILABLE, detail(database.get())));
    }
    String number = UUID.randomUUID().toString();
    log.error("Fault {} at {} {}", number, request.getMethod(), request.getRequestURI(), failure);
    if (response.isCommitted()) {
      throw failure;
    }
    return answer(
        new Problem(ProblemType.INTERNAL_ERROR, "The log holds the cause as fault " + number + "."),
        HttpHeaders.EMPTY);
  }

  /** Whether the connection ended, was cut off or broke within a body: not a fault. */
  private static boolean clientIsGone(Throwable failure) {
    for (Throwable cause = failure; cause != null; cause = cause.getCause()) {
      if (cause instanceof ClientAbortException || cause instanceof BadRequestException) {
        return true;
      }
    }
    return false;
  }

  private static String detail(DatabaseFailure failure) {
    return switch (failure) {
      case BUSY ->
          "Other work holds what this request needs. Nothing of the request was stored. Send it"
              + " again, with the same key if it has one.";
      case AWAY ->
          "The database does not answer. Nothing of the request was stored. Send it again, with"
              + " the same key if it has one.";
      case UNCONFIRMED ->
          "The database failed before it confirmed what it stored, so the request may be stored"
              + " or not. Send it again, with the same key if it has one: the key keeps it single.";
    };
  }

  @Override
  protected ResponseEntity<Object> handleMethodArgumentNotValid(
      MethodArgumentNotValidException invalid,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    boolean body =
        invalid
            .getParameter()
            .hasParameterAnnotation(org.springframework.web.bind.annotation.RequestBody.class);
    List<Problem.Fault> faults = new ArrayList<>();
    for (FieldError error : invalid.getBindingResult().getFieldErrors()) {
      String place = body ? JsonFaults.pointer(error.getField()) : error.getField();
      String detail =
          error.isBindingFailure()
              ? meaning(error.unwrap(Exception.class), error.getRejectedValue())
              : JsonFaults.detail(error.getDefaultMessage(), error.getRejectedValue());
      faults.add(Problem.Fault.at(place, detail));
    }
    return object(invalidRequest(faults));
  }

  @Override
  protected @Nullable ResponseEntity<Object> handleHttpRequestMethodNotSupported(
      HttpRequestMethodNotSupportedException wrong,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    String address = ((ServletWebRequest) request).getRequest().getRequestURI();
    Optional<AnsweredMethods.Found> found = answered.at(address);
    if (found.isEmpty()) {
      return super.handleHttpRequestMethodNotSupported(wrong, headers, status, request);
    }
    HttpHeaders allow = new HttpHeaders();
    allow.setAllow(found.get().here());
    Problem problem =
        new Problem(
            ProblemType.METHOD_NOT_ALLOWED,
            wrong.getMethod() + " is not possible here. " + found.get().sentence(address));
    return new ResponseEntity<>(problem.toDocument(), problemHeaders(allow), status);
  }

  @Override
  protected @Nullable ResponseEntity<Object> handleHandlerMethodValidationException(
      HandlerMethodValidationException invalid,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    if (invalid.isForReturnValue()) {
      return super.handleHandlerMethodValidationException(invalid, headers, status, request);
    }
    List<Problem.Fault> faults = new ArrayList<>();
    for (ParameterValidationResult result : invalid.getParameterValidationResults()) {
      if (result instanceof ParameterErrors errors) {
        errors
            .getFieldErrors()
            .forEach(
                error ->
                    faults.add(
                        Problem.Fault.at(
                            JsonFaults.pointer(error.getField()),
                            JsonFaults.detail(
                                error.getDefaultMessage(), error.getRejectedValue()))));
      } else {
        String name = String.valueOf(result.getMethodParameter().getParameterName());
        result
            .getResolvableErrors()
            .forEach(
                error ->
                    faults.add(
                        Problem.Fault.at(
                            name,
                            JsonFaults.detail(error.getDefaultMessage(), result.getArgument()))));
      }
    }
    return object(invalidRequest(faults));
  }

  @Override
  protected ResponseEntity<Object> handleHttpMessageNotReadable(
      HttpMessageNotReadableException unreadable,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    return object(JsonFaults.problem(unreadable.getCause()));
  }

  @Override
  protected ResponseEntity<Object> handleMissingServletRequestParameter(
      MissingServletRequestParameterException missing,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    return object(
        invalidRequest(
            List.of(Problem.Fault.at(missing.getParameterName(), "is needed as a parameter"))));
  }

  @Override
  protected ResponseEntity<Object> handleTypeMismatch(
      org.springframework.beans.TypeMismatchException mismatch,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    String name =
        mismatch instanceof MethodArgumentTypeMismatchException argument
            ? argument.getName()
            : String.valueOf(mismatch.getPropertyName());
    return object(
        invalidRequest(List.of(Problem.Fault.at(name, meaning(mismatch, mismatch.getValue())))));
  }

  @Override
  protected @Nullable ResponseEntity<Object> handleExceptionInternal(
      Exception failure,
      @Nullable Object body,
      HttpHeaders headers,
      HttpStatusCode status,
      WebRequest request) {
    if (request instanceof ServletWebRequest servlet
        && servlet.getResponse() != null
        && servlet.getResponse().isCommitted()) {
      return null;
    }
    ProblemType type = ProblemType.ofStatus(status.value());
    String detail =
        body instanceof ProblemDetail known && known.getDetail() != null
            ? known.getDetail()
            : type.help();
    return new ResponseEntity<>(
        new Problem(type, detail).toDocument(status.value()), problemHeaders(headers), status);
  }

  private static Problem invalidRequest(List<Problem.Fault> faults) {
    Faults all = new Faults();
    faults.forEach(fault -> all.add(fault.pointer(), fault.detail()));
    try {
      all.throwIfAny(ProblemType.INVALID_REQUEST);
    } catch (Problem problem) {
      return problem;
    }
    return new Problem(ProblemType.INVALID_REQUEST, ProblemType.INVALID_REQUEST.help());
  }

  private static String meaning(Throwable failure, @Nullable Object value) {
    String sent = value instanceof String text ? Quoted.of(text) : "the value";
    for (Throwable cause = failure; cause != null; cause = cause.getCause()) {
      if (cause instanceof ConversionFailedException failed) {
        Class<?> wanted = failed.getTargetType().getType();
        if (wanted.isEnum()) {
          return sent
              + " is none of "
              + Stream.of(wanted.getEnumConstants())
                  .map(Object::toString)
                  .collect(Collectors.joining(", "));
        }
        if (failed.getCause() instanceof IllegalArgumentException refused
            && refused.getMessage() != null) {
          return refused.getMessage();
        }
      }
    }
    return sent + " cannot be read here";
  }

  private static ResponseEntity<Object> object(Problem problem) {
    return new ResponseEntity<>(
        problem.toDocument(), problemHeaders(HttpHeaders.EMPTY), problem.type().status());
  }

  private static ResponseEntity<ProblemDetail> answer(Problem problem, HttpHeaders headers) {
    return new ResponseEntity<>(
        problem.toDocument(), problemHeaders(headers), problem.type().status());
  }

  private static HttpHeaders problemHeaders(HttpHeaders given) {
    HttpHeaders headers = new HttpHeaders();
    headers.putAll(given);
    headers.setContentType(MediaType.APPLICATION_PROBLEM_JSON);
    return headers;
  }
}

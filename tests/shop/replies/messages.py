"""Messages as they come: an answer, and the report of a mail server after RFC 3464."""

BOUNCE = """\
Date: Thu, 7 Jul 1994 17:16:05 -0400
From: Mail Delivery Subsystem <MAILER-DAEMON@CS.UTK.EDU>
Message-Id: <199407072116.RAA14128@CS.UTK.EDU>
Subject: Returned mail: Cannot send message for 5 days
To: <owner-info-mime@cs.utk.edu>
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status;
      boundary="RAA14128.773615765/CS.UTK.EDU"

--RAA14128.773615765/CS.UTK.EDU

The original message was received at Sat, 2 Jul 1994 17:10:28 -0400
from root@localhost

   ----- The following addresses had delivery problems -----
<louisl@larry.slip.umd.edu>  (unrecoverable error)

   ----- Transcript of session follows -----
<louisl@larry.slip.umd.edu>... Deferred: Connection timed out
      with larry.slip.umd.edu.
Message could not be delivered for 5 days
Message will be deleted from queue

--RAA14128.773615765/CS.UTK.EDU
content-type: message/delivery-status

Reporting-MTA: dns; cs.utk.edu

Original-Recipient: rfc822;louisl@larry.slip.umd.edu
Final-Recipient: rfc822;louisl@larry.slip.umd.edu
Action: failed
Status: 4.0.0
Diagnostic-Code: smtp; 426 connection timed out
Last-Attempt-Date: Thu, 7 Jul 1994 17:15:49 -0400

--RAA14128.773615765/CS.UTK.EDU
content-type: message/rfc822

Subject: the letter
Message-ID: <letter@cs.utk.edu>

[original message goes here]

--RAA14128.773615765/CS.UTK.EDU--
"""
"""The simple report of RFC 3464, appendix E, typed from memory; the letter it brings back is ours."""


def answer(text="It leaves on Monday.", subject="Re: your order", message_id="<a1@nuvo.example>", more=""):
    """An answer of a supplier, as bytes."""
    head = f"From: Odile Marsh <odile@nuvo.example>\r\nTo: workshop@shop.example\r\nSubject: {subject}\r\n"
    head += f"Message-ID: {message_id}\r\nDate: Tue, 24 Nov 2026 09:12:00 +0100\r\n{more}"
    return f"{head}Content-Type: text/plain; charset=utf-8\r\n\r\n{text}\r\n".encode()


def bounce(letter, to, status="5.1.1", action="failed"):
    """The report that a letter to an address did not arrive."""
    text = BOUNCE.replace("<letter@cs.utk.edu>", letter).replace("louisl@larry.slip.umd.edu", to)
    text = text.replace("Status: 4.0.0", f"Status: {status}").replace("Action: failed", f"Action: {action}")
    return text.replace("426 connection timed out", "550 no such user").encode()
